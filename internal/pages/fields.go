package pages

import (
	"fmt"
	"strconv"

	"commensal/internal/pages/links"
	"commensal/internal/pages/words"
	"commensal/internal/species"
)

// The fields of forms, as the templates take them.
type (
	field struct {
		ID, Name, Label, Value, Hint, Digits string
		Rows                                 int
		Required                             bool
	}
	choice struct {
		Name, Label, Value string
		Options            []option
	}
	option struct{ Value, Label string }

	pairForm struct {
		First, Second, Tank field
		More                []field
		Choices             []choice
		Open                bool
	}
	listForm struct {
		Action, Go           string
		List, Incoming, Tank field
		More                 []field
		Open                 bool
	}
)

func (q *request) kindField(name, value string, required bool) field {
	return field{ID: name, Name: name, Label: q.words.Say("form." + name), Value: value, Required: required}
}

func (q *request) tankField(t *links.Tank) field {
	return field{ID: "tank", Name: "tank", Label: q.words.Say("form.tank"), Value: t.Extent(), Hint: q.words.Say("form.tank.hint")}
}

// waterHints are the keys of the hints under the fields of the water, by parameter.
var waterHints = [species.NumParameters]string{"form.temperature.hint", "", "form.gh.hint", "form.salinity.hint"}

// waterFields are the fields of the water and of cover.
func (q *request) waterFields(t *links.Tank) []field {
	var out []field
	for p := range species.Parameter(species.NumParameters) {
		name := links.WaterField(p)
		f := field{ID: name, Name: name, Label: q.words.Say("form." + name)}
		if waterHints[p] != "" {
			f.Hint = q.words.Say(waterHints[p])
		}
		if r := t.Water[p]; r.Known {
			f.Value = plain(r.Value)
		}
		out = append(out, f)
	}
	cover := field{ID: "cover", Name: "cover", Label: q.words.Say("form.cover"), Hint: q.words.Say("form.cover.hint"), Digits: "decimal"}
	if t.Cover != nil {
		cover.Value = plain(*t.Cover)
	}
	return append(out, cover)
}

// pairFormOf is the form of a question about two kinds, with the names to show for them.
func (q *request) pairFormOf(p *links.Pair, first, second string) pairForm {
	f := pairForm{First: q.kindField("first", first, true), Second: q.kindField("second", second, true),
		Tank: q.tankField(&p.Tank), More: q.waterFields(&p.Tank)}
	for i, side := range []string{"first", "second"} {
		kind := []string{first, second}[i]
		if kind == "" {
			kind = q.words.Say("form." + side)
		}
		fish := p.Fish[i]
		count := field{ID: side + "_count", Name: side + "_count", Label: q.words.Say("form.count", "kind", kind), Digits: "numeric"}
		if fish.Count > 0 {
			count.Value = strconv.Itoa(fish.Count)
		}
		length := field{ID: side + "_length_cm", Name: side + "_length_cm", Label: q.words.Say("form.length", "kind", kind), Hint: q.words.Say("form.length.hint"), Digits: "decimal"}
		if fish.LengthCM > 0 {
			length.Value = plain(fish.LengthCM)
		}
		f.More = append(f.More, count, length)
		f.Choices = append(f.Choices, choice{side + "_sex", q.words.Say("form.sex", "kind", kind), fish.Sex.String(),
			[]option{{"", q.words.Say("form.sex.any")}, {"male", q.words.Say("form.sex.male")}, {"female", q.words.Say("form.sex.female")}}})
	}
	return f
}

// listFormOf is the form of a list, with what was written in it.
func (q *request) listFormOf(t *links.Tank, residents, incoming string) listForm {
	f := listForm{Action: "/lists", Go: q.words.Say("form.ask"),
		List:     q.listField("list", "form.list", residents, 5),
		Incoming: field{ID: "incoming", Name: "incoming", Label: q.words.Say("form.incoming"), Value: incoming, Hint: q.words.Say("form.incoming.hint"), Rows: 2},
		Tank:     q.tankField(t), More: q.waterFields(t)}
	f.Tank.ID = "list-" + f.Tank.ID // a page may ask about a pair too
	for i := range f.More {
		f.More[i].ID = "list-" + f.More[i].ID
	}
	return f
}

func (q *request) listField(name, label, value string, rows int) field {
	return field{ID: name, Name: name, Label: q.words.Say(label), Value: value, Hint: q.words.Say("form.list.hint"), Rows: rows}
}

// faultWords say what is wrong with a field.
func (q *request) faultWords(list []links.Fault) []string {
	out := make([]string, len(list))
	for i, f := range list {
		label := q.words.SayOr("form."+f.Field, f.Field)
		out[i] = q.words.Say("ask.fault", "field", label, "input", f.Input, "what", f.What, "fix", f.Fix)
	}
	return out
}

func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// times writes a number of animals of a kind: "Oscar", "10 × Neon tetra".
func times(n int, kind string) string {
	if n == 1 {
		return kind
	}
	return fmt.Sprintf("%d × %s", n, kind)
}

// rounded writes a score without decimals.
func rounded(x float64) string { return strconv.Itoa(int(x + .5)) }

// points writes a share with its sign.
func points(x float64) string {
	if x > 0 {
		return "+" + words.Number(x)
	}
	return words.Number(x)
}
