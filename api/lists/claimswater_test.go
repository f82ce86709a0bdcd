package lists_test

import (
	"maps"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"commensal/api/gen"

	"pgregory.net/rapid"
)

func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// has reports that a query has a key.
func has(query, key string) bool { return values(query).Has(key) }

func values(query string) url.Values {
	v, err := url.ParseQuery(strings.TrimPrefix(query, "?"))
	if err != nil {
		panic(err)
	}
	return v
}

// replaced is a query with some keys told otherwise.
func replaced(query string, keyed ...string) string {
	v := values(query)
	for i := 0; i+1 < len(keyed); i += 2 {
		v.Set(keyed[i], keyed[i+1])
	}
	return "?" + v.Encode()
}

// The water that suits all is just that: a check at any point of a grid finds a reading outside what
// somebody tolerates or prefers where, and only where, the shared water says so; and where no water
// suits all, every point of the grid is outside what somebody tolerates.
func TestClaimsTheSharedWaterIsWhereNobodyIsOutside(t *testing.T) {
	claims(t, 30, func(c *claim) {
		b := basket{Residents: c.lines(1, 4), Tank: basin{"size": "400x150x100cm"}}
		told := c.check(b)
		for _, key := range slices.Sorted(maps.Keys(ranges)) {
			apart := told.RuledOutBy != nil && slices.ContainsFunc(*told.RuledOutBy, func(a gen.WaterApart) bool { return string(a.Parameter) == key })
			w := window(told.SharedWater, key)
			if w == nil && !apart {
				continue // nothing is said of it
			}
			for range 6 {
				c.outside(b, w, key, float64(rapid.IntRange(ranges[key][0], ranges[key][1]).Draw(c.T, key))/10)
			}
			if w != nil {
				for _, at := range []float64{w.Best, w.Tolerated.Low, w.Tolerated.High, (w.Tolerated.Low + w.Tolerated.High) / 2} {
					c.outside(b, w, key, math.Round(at*100)/100)
				}
			}
		}
	})
}

// atEdge reports a value that sentences cannot tell from the edge of a range: to them 26.3 °C
// and 25.5 °C are both 26.
func atEdge(at float64, w *gen.SharedParameter) bool {
	edges := []float64{w.Tolerated.Low, w.Tolerated.High}
	if w.Preferred != nil {
		edges = append(edges, w.Preferred.Low, w.Preferred.High)
	}
	return slices.ContainsFunc(edges, func(edge float64) bool { return at != edge && math.Abs(at-edge) <= 1 })
}

// outside judges the list at one reading.
func (c *claim) outside(b basket, w *gen.SharedParameter, key string, at float64) {
	if w != nil && atEdge(at, w) {
		return
	}
	then := c.check(basket{Residents: b.Residents, Tank: b.Tank.with(key, at)})
	of := func(code gen.FindingCode) bool {
		return slices.ContainsFunc(then.Findings, func(f gen.Finding) bool { return f.Code == code })
	}
	tolerated := w != nil && within(w.Tolerated, at)
	if of("reading_outside_tolerated") == tolerated {
		c.Fatalf("%s of %v: outside what is tolerated %v, told %+v\n%s", key, at, !tolerated, w, text(b))
	}
	if w == nil || !tolerated {
		return
	}
	if w.Preferred != nil && of("reading_outside_preferred") == within(*w.Preferred, at) {
		c.Fatalf("%s of %v: preferred %+v\n%s", key, at, *w.Preferred, text(b))
	}
	if w.Preferred == nil && !of("reading_outside_preferred") {
		c.Fatalf("%s of %v suits all, told that they prefer different water\n%s", key, at, text(b))
	}
}
