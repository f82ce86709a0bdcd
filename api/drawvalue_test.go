package api_test

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"commensal/api/apitest"
	"commensal/api/validate"
)

// drawer makes requests from the contract: what its schemas allow, and slips of that. The
// same seed draws the same.
type drawer struct {
	*rand.Rand
	contract *validate.Contract
}

func newDrawer(seed uint64) *drawer {
	return &drawer{rand.New(rand.NewPCG(seed, seed)), apitest.Contract()}
}

// chance is true so many times in a hundred.
func (d *drawer) chance(percent int) bool { return d.IntN(100) < percent }

func oneOf[T any](d *drawer, list ...T) T { return list[d.IntN(len(list))] }

// sensible are values of fields that a schema alone says too little of, by the field's name:
// most requests are to get as far as the model and the database.
var sensible = map[string][]any{
	"species":       {"oscar", "neon tetra", "guppy", "betta", "Paracheirodon innesi", "astronotus-ocellatus"},
	"size":          {"120x50x50cm", "60x30x36cm", "48x24x24in", "1.2x0.5x0.5m"},
	"tank":          {"120x50x50cm", "60x30x36cm"},
	"length_cm":     {120.0, 4.0, "2in", "60cm"},
	"width_cm":      {50.0, "20in"},
	"height_cm":     {50.0, "1m"},
	"volume_l":      {54.0, "30gal", 300.0},
	"temperature_c": {25.0, "78F", 22.5},
	"ph":            {7.0, 6.5, "7.4"},
	"gh_dh":         {8.0, "12"},
	"salinity_ppt":  {0.0, "0"},
	"cover":         {0.5, 0.0, 1.0},
	"count":         {1.0, 6.0, 12.0},
	"max_length_cm": {10.0, "4in"},
	"expires_at":    {"2099-01-01T00:00:00Z"},
	"taken_at":      {"2026-11-01T08:00:00+01:00"},
}

// value draws what a schema allows, for a field of a name.
func (d *drawer) value(described any, name string, depth int) any {
	schema := d.contract.Follow(described)
	if list := sensible[name]; list != nil && schema["properties"] == nil && schema["items"] == nil && schema["enum"] == nil && d.chance(85) {
		return oneOf(d, list...)
	}
	if words := validate.AsList(schema["enum"]); len(words) > 0 {
		return oneOf(d, words...)
	}
	if list := validate.AsList(schema["oneOf"]); len(list) > 0 {
		return d.value(oneOf(d, list...), name, depth)
	}
	switch schema["type"] {
	case "object":
		return d.object(schema, depth+1)
	case "array":
		return d.list(schema, name, depth+1)
	case "string":
		return d.text(schema)
	case "boolean":
		return d.chance(50)
	case "integer":
		return math.Round(d.number(schema))
	case "number":
		return d.number(schema)
	}
	return nil
}

func (d *drawer) object(schema map[string]any, depth int) any {
	out, required := map[string]any{}, validate.AsList(schema["required"])
	for _, name := range slices.Sorted(maps.Keys(validate.AsMap(schema["properties"]))) {
		if slices.Contains(required, any(name)) || d.chance(50/depth) {
			out[name] = d.value(validate.AsMap(schema["properties"])[name], name, depth)
		}
	}
	if out["size"] != nil && d.chance(90) { // of a tank, which is given in one way or another
		for _, other := range []string{"length_cm", "width_cm", "height_cm", "volume_l"} {
			delete(out, other)
		}
	}
	return out
}

func (d *drawer) list(schema map[string]any, name string, depth int) any {
	least, most := bound(schema, "minItems", 0), bound(schema, "maxItems", 100)
	out := make([]any, int(min(least+float64(d.IntN(4)), most)))
	for i := range out {
		out[i] = d.value(schema["items"], name, depth)
	}
	return out
}

func (d *drawer) text(schema map[string]any) any {
	if schema["format"] == "date-time" {
		return "2026-11-01T08:00:00Z"
	}
	words := []string{"guppy", "T-1", "show tank", "ä", "魚", "x"}
	text := oneOf(d, words...)
	for least := int(bound(schema, "minLength", 1)); len(text) < least; {
		text += oneOf(d, words...)
	}
	return text
}

// number draws near the ends of what is allowed as often as between them.
func (d *drawer) number(schema map[string]any) float64 {
	least, most := bound(schema, "minimum", 0), bound(schema, "maximum", 1000)
	return oneOf(d, least, most, least+(most-least)*d.Float64(), min(most, least+d.Float64()*10))
}

func bound(schema map[string]any, name string, otherwise float64) float64 {
	switch v := schema[name].(type) {
	case int:
		return float64(v)
	case float64:
		return v
	}
	return otherwise
}

// odd are values that stand where they should not.
func (d *drawer) odd() any {
	return oneOf[any](d, nil, true, -1.0, 0.0, 1e308, -1e-300, 1e15, "", " ", "\u0000", "1e999", "NaN", "-5cm", "\u202e", "'; --", "tetra", "no such fish", strings.Repeat("魚", 300),
		strings.Repeat("a", 5000), []any{}, map[string]any{}, []any{[]any{[]any{nil}}}, map[string]any{"": nil}, "0x10", "9999-12-31T23:59:60Z")
}

// slip spoils one place of a value.
func (d *drawer) slip(value any) any {
	if d.chance(25) {
		return d.odd()
	}
	switch v := value.(type) {
	case map[string]any:
		keys := slices.Sorted(maps.Keys(v))
		switch {
		case len(keys) == 0 || d.chance(15):
			v[oneOf(d, "colour", "", "Species", "tank", "\u0000")] = d.odd()
		case d.chance(25):
			delete(v, oneOf(d, keys...))
		default:
			key := oneOf(d, keys...)
			v[key] = d.slip(v[key])
		}
	case []any:
		switch {
		case len(v) == 0:
			return []any{d.odd()}
		case d.chance(10):
			return slices.Repeat(v, 2+d.IntN(300)/len(v))
		}
		i := d.IntN(len(v))
		v[i] = d.slip(v[i])
	default:
		return d.odd()
	}
	return value
}
