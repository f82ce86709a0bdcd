package entry

import (
	"math"
	"strconv"
	"strings"

	"commensal/internal/species"
	"go.yaml.in/yaml/v3"
)

// ParseNumber reads a plain decimal number: 12, 12.5 or .5. Signs, exponents and the words that strconv knows are refused: no
// catalogue value needs them.
func ParseNumber(s string) (x float64, ok bool) {
	whole, fraction, point := strings.Cut(s, ".")
	if !isDigits(whole) && (whole != "" || !point) || point && !isDigits(fraction) {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil
}

func isDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// FormatNumber is the shortest text that parseNumber reads as the same number. A
// number that the format cannot hold gives a text that parseNumber refuses.
func FormatNumber(x float64) string {
	if x == 0 {
		return "0" // minus zero too
	}
	if math.IsNaN(x) {
		return "NaN"
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// numbers splits a value line into its count leading numbers, then the unit where
// one is expected, then the basis.
func (r *Reader) numbers(n *yaml.Node, field, pattern, unit string, into []float64) (basis species.Basis, ok bool) {
	line, ok := r.Text(n, field)
	if !ok {
		return "", false
	}
	parts := strings.Fields(line)
	want := len(into) + 1
	if unit != "" {
		want++
	}
	if len(parts) != want {
		r.Fail(n, field, "must be `%s`, has %d parts", pattern, len(parts))
		return "", false
	}
	for i := range into {
		if into[i], ok = ParseNumber(parts[i]); !ok {
			r.Fail(n, field, "%s is not a number", Shorten(parts[i]))
			return "", false
		}
	}
	if unit != "" && parts[want-2] != unit {
		r.Fail(n, field, "unit %s is not %s", Shorten(parts[want-2]), unit)
		return "", false
	}
	basis = species.Basis(parts[want-1])
	return basis, r.CheckBasis(n, field, basis)
}

// CheckBasis reports a basis that is neither memory nor a source.
func (r *Reader) CheckBasis(n *yaml.Node, field string, basis species.Basis) bool {
	if _, ok := BasisKey(basis); !ok {
		r.Fail(n, field, "basis %s is neither memory nor source:KEY", Shorten(string(basis)))
		return false
	}
	return true
}

// band reads a trait: low typical high unit basis.
func (r *Reader) band(n *yaml.Node, field string, unit species.Unit) species.Value {
	var x [3]float64
	basis, ok := r.numbers(n, field, "low typical high unit basis", string(unit), x[:])
	if !ok || !r.Ascending(n, field, x[:]) {
		return species.Value{}
	}
	return species.Value{Band: species.Band{Low: x[0], Typical: x[1], High: x[2]}, Basis: basis}
}

// waterRange reads a water line, tolerated outside and preferred inside.
func (r *Reader) waterRange(n *yaml.Node, field, unit string) species.WaterRange {
	var x [4]float64
	basis, ok := r.numbers(n, field, "tolerated-low preferred-low preferred-high tolerated-high unit basis", unit, x[:])
	if !ok || !r.Ascending(n, field, x[:]) {
		return species.WaterRange{}
	}
	return species.WaterRange{
		Tolerated: species.Range{Low: x[0], High: x[3]},
		Preferred: species.Range{Low: x[1], High: x[2]},
		Basis:     basis,
	}
}

// zoneUse reads the shares at surface, middle and bottom.
func (r *Reader) zoneUse(n *yaml.Node, field string) species.ZoneUse {
	var z species.ZoneUse
	basis, ok := r.numbers(n, field, "surface middle bottom basis", "", z.Share[:])
	if !ok {
		return species.ZoneUse{}
	}
	z.Basis = basis
	return z
}

// Ascending checks that numbers do not fall.
func (r *Reader) Ascending(n *yaml.Node, field string, x []float64) bool {
	for i := 1; i < len(x); i++ {
		if x[i] < x[i-1] {
			r.Fail(n, field, "%s is above %s: the numbers must not fall", FormatNumber(x[i-1]), FormatNumber(x[i]))
			return false
		}
	}
	return true
}
