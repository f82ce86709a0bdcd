package lists_test

import (
	"maps"
	"math"
	"net/http"
	"slices"
	"testing"

	"commensal/api/gen"

	"pgregory.net/rapid"
)

// Every link to a pairing tells what the answer with the link told of the two: all of it where no
// other line takes up their room, and nothing worse where some do. Of a line that has others of its kind
// beside it nothing is claimed: the link knows nothing of them.
func TestClaimsLinkedPairingsTellWhatTheCheckTold(t *testing.T) {
	claims(t, 60, func(c *claim) {
		b := c.basket(1, 3)
		told := c.check(b)
		for _, p := range told.Pairings {
			c.follows(b, &told, p)
		}
	})
}

func (c *claim) follows(b basket, told *gen.Check, p gen.ListPairing) {
	c.Helper()
	alone := answered[gen.Pairing](c, http.MethodGet, p.Pairing, nil)
	score, level, main := p.Score, p.Level, p.MainReason
	if p.SpeciesLevel != nil {
		score, level, main = p.SpeciesLevel.Score, p.SpeciesLevel.Level, alone.MainReason // dispositions are not in the link
	}
	if c.inCompany(told, p.Lines[0]) || c.inCompany(told, p.Lines[1]) {
		return // the link knows one line of the group
	}
	others := len(told.Lines) > 2 || len(told.Lines) == 2 && p.Lines[0] == p.Lines[1]
	switch {
	case others && b.Tank != nil: // they take up room
		if alone.Score > score {
			c.Fatalf("%s alone scores %v, and %v beside others\n%s", p.Pairing, alone.Score, score, text(b))
		}
	case alone.Score != score || alone.Level != level || alone.MainReason != main:
		c.Fatalf("%s: %v %s %s, told %v %s %s\n%s", p.Pairing, alone.Score, alone.Level, alone.MainReason, score, level, main, text(b))
	}
}

// inCompany reports a line beside which there is another of its kind.
func (c *claim) inCompany(told *gen.Check, line int) bool {
	kin := c.relatives(told.Lines[line].Species.Id)
	return slices.ContainsFunc(told.Lines, func(l gen.CheckedLine) bool { return l.Line != line && slices.Contains(kin, l.Species.Id) })
}

// pairing asks for a pairing of two kinds.
func (c *claim) pairing(first, second, query string) gen.Pairing {
	return answered[gen.Pairing](c, http.MethodGet, "/v1/pairings/"+first+"/"+second+query, nil)
}

// pairQuery draws conditions of a pairing.
func (c *claim) pairQuery() string {
	query := "?cover=" + rapid.SampledFrom([]string{"0", "0.3", "0.5", "0.8"}).Draw(c.T, "cover")
	if rapid.IntRange(0, 2).Draw(c.T, "sized") > 0 {
		query += "&tank=" + rapid.SampledFrom(sizes()).Draw(c.T, "size")
	}
	for _, key := range []string{"temperature_c", "ph", "gh_dh"} {
		if rapid.IntRange(0, 2).Draw(c.T, key+" known") == 0 {
			query += "&" + key + "=" + number(float64(rapid.IntRange(ranges[key][0], ranges[key][1]).Draw(c.T, key))/10)
		}
	}
	for _, key := range []string{"first_count", "second_count"} {
		if rapid.IntRange(0, 2).Draw(c.T, key+" known") == 0 {
			query += "&" + key + "=" + number(float64(rapid.IntRange(1, 8).Draw(c.T, key)))
		}
	}
	return query
}

// Every remedy of a pairing brings it to the level it says, and "keep them apart" is said only where
// no tank of a home, no cover, no water and no company of these brings it to the next lower band.
func TestClaimsRemediesOfAPairingDoWhatTheySay(t *testing.T) {
	claims(t, 60, func(c *claim) {
		first := c.fish(nil)
		second := c.fish([]fish{first})
		query := c.pairQuery()
		told := c.pairing(first.Species, second.Species, query)
		for _, r := range told.Remedies {
			if r.Check == nil {
				c.nothingHelps(first.Species, second.Species, query, &told)
				continue
			}
			then := answered[gen.Pairing](c, http.MethodGet, *r.Check, nil)
			if then.Score != r.Score || then.Level != r.Level || levels[then.Level] >= levels[told.Level] {
				c.Fatalf("%s: %s says %v %s, it is %v %s, before %v %s", *r.Check, r.Code, r.Score, r.Level, then.Score, then.Level, told.Score, told.Level)
			}
		}
	})
}

// nothingHelps tries tanks under any cover, and water, one after the other.
func (c *claim) nothingHelps(first, second, query string, told *gen.Pairing) {
	aim := 1
	if told.Level == "moderate" {
		aim = 0
	}
	at := told.Conditions
	for _, size := range sizes() {
		for _, cover := range []string{number(at.Cover), "0.8", "0.95"} {
			then := c.pairing(first, second, replaced(query, "tank", size, "cover", cover))
			if larger := then.Conditions.LengthCm >= at.LengthCm && then.Conditions.LengthCm <= 240 && then.Conditions.WidthCm*then.Conditions.LengthCm > at.WidthCm*at.LengthCm &&
				then.Conditions.Cover >= at.Cover; larger && levels[then.Level] <= aim && addresses(told, &then) {
				c.Fatalf("%s and %s%s: nothing helps, yet %s with cover %s makes it %s", first, second, query, size, cover, then.Level)
			}
		}
	}
	for _, key := range []string{"temperature_c", "ph", "gh_dh"} {
		if !has(query, key) {
			continue
		}
		for tenths := ranges[key][0]; tenths <= ranges[key][1]; tenths += 2 {
			value := number(float64(tenths) / 10)
			if then := c.pairing(first, second, replaced(query, key, value)); levels[then.Level] <= aim && c.tolerated(told, key, float64(tenths)/10) && addresses(told, &then) {
				c.Fatalf("%s and %s%s: nothing helps, yet %s of %s makes it %s", first, second, query, key, value, then.Level)
			}
		}
	}
}

// causes are the factors that a main reason is a matter of.
var causes = map[gen.MainReason][]string{
	"predation": {"size_ratio"}, "aggression": {"temperament", "swimming_zone", "space", "breeding"}, "own_kind": {"temperament", "swimming_zone", "space", "breeding"},
	"fin_nipping": {"temperament"}, "water": {"water_range"}, "feeding": {"feeding"}, "hybridisation": {"breeding"}, "space": {"space"},
}

// addresses reports that most of what a change takes from a score is clearly the main reason's: what is doubtful is
// left aside.
func addresses(told, then *gen.Pairing) bool {
	fall := 0.0
	for i, f := range told.Factors {
		if slices.Contains(causes[told.MainReason], string(f.Factor)) {
			fall += f.Share - then.Factors[i].Share
		}
	}
	return told.MainReason != "fin_nipping" && fall >= 0.75*(told.Score-then.Score)
}

// window is what is told of a water parameter; nil for nothing.
func window(w *gen.SharedWater, key string) *gen.SharedParameter {
	if w == nil {
		return nil
	}
	return map[string]*gen.SharedParameter{"temperature_c": w.TemperatureC, "ph": w.Ph, "gh_dh": w.GhDh, "salinity_ppt": w.SalinityPpt}[key]
}

func (c *claim) tolerated(p *gen.Pairing, key string, value float64) bool {
	w := window(p.SharedWater, key)
	return w != nil && within(w.Tolerated, value)
}

func within(i gen.Interval, value float64) bool { return i.Low <= value && value <= i.High }

// rounded is how far two scores may be apart of which what they were asked with and what was told is rounded.
const rounded = 0.15

// No value of a parameter that two kinds tolerate is better for them than the one told as best, and none
// better than the best common water, which is what they are judged in where nothing was measured.
func TestClaimsNoWaterIsBetterForTwoThanTheBest(t *testing.T) {
	claims(t, 40, func(c *claim) {
		first, second := c.kind(nil), c.kind(nil)
		told := c.pairing(first, second, "")
		for _, key := range slices.Sorted(maps.Keys(ranges)) {
			w := window(told.SharedWater, key)
			if w == nil {
				continue
			}
			best := c.pairing(first, second, "?"+key+"="+number(w.Best)).Score
			for k := range 25 {
				at := math.Round(100*(w.Tolerated.Low+float64(k)*(w.Tolerated.High-w.Tolerated.Low)/24)) / 100
				then := c.pairing(first, second, "?"+key+"="+number(at)).Score
				if then < told.Score-rounded {
					c.Fatalf("%s and %s: %v at a %s of %v, and %v in the best common water", first, second, then, key, at, told.Score)
				}
				if then < best-rounded {
					c.Fatalf("%s and %s: %v at a %s of %v, and %v at the best, %v", first, second, then, key, at, best, w.Best)
				}
			}
		}
	})
}
