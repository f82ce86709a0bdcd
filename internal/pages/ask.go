package pages

import (
	"net/url"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
)

// askPage asks which kind was meant, and what a field was to say. It is a form that
// leads back to the question with the choice made.
type askPage struct {
	Heading   string
	Faults    []string
	Action    string
	Hidden    []hidden
	Questions []question
	Fields    []field
	Texts     []field
}

type hidden struct{ Name, Value string }

type question struct {
	Legend, Name string
	Options      []option
}

// asking begins a page that asks.
func (q *request) asking(action string) *askPage {
	return &askPage{Heading: q.words.Say("ask.title"), Action: action}
}

// name asks about one name; value makes the value of the form from what is chosen.
func (a *askPage) name(q *request, name, asked string, n answers.Named, value func(answers.Kind) string) {
	shown := links.Printable(asked, 60)
	if len(n.Candidates) == 0 {
		label := q.words.Say("ask.nothing", "name", shown)
		if shown == "" {
			label = q.words.Say("ask.empty")
		}
		if n.NotAFish != "" {
			label = n.NotAFish
		}
		a.Fields = append(a.Fields, field{ID: "kind-" + plain(float64(len(a.Fields))), Name: name, Label: label})
		return
	}
	legend := q.words.Say("ask.unknown", "name", shown)
	if n.Ambiguous {
		legend = q.words.Say("ask.ambiguous", "name", shown)
	}
	item := question{Legend: legend, Name: name}
	for _, k := range n.Candidates {
		label := k.Name
		if k.Scientific != k.Name {
			label += " (" + k.Scientific + ")"
		}
		item.Options = append(item.Options, option{value(k), label})
	}
	a.Questions = append(a.Questions, item)
}

// rest carries the other fields of the question along, but those that are asked.
func (a *askPage) rest(query url.Values, but ...string) {
	skip := map[string]bool{}
	for _, name := range but {
		skip[name] = true
	}
	for _, name := range carried {
		if v := query.Get(name); v != "" && !skip[name] && len(v) <= 200 {
			a.Hidden = append(a.Hidden, hidden{name, v})
		}
	}
}

// carried are the fields that go along with a question, in a fixed order.
var carried = []string{"first", "second", "tank", "temperature_c", "ph", "gh_dh", "salinity_ppt", "cover", "first_count", "first_sex",
	"first_length_cm", "second_count", "second_sex", "second_length_cm", "units", "lid", "mature", "planted", "floor", "heater", "filter", "paper"}

// wrong asks again for the fields that cannot be read.
func (a *askPage) wrong(q *request, faults []links.Fault) (names []string) {
	a.Faults = q.faultWords(faults)
	for _, f := range faults {
		names = append(names, f.Field)
		if f.Field != "list" {
			a.Texts = append(a.Texts, field{ID: "again-" + f.Field, Name: f.Field, Label: q.words.SayOr("form."+f.Field, f.Field), Hint: f.Fix})
		}
	}
	return names
}

// reply renders the page that asks.
func (a *askPage) reply(q *request) *reply {
	r := q.page("ask", frame{Title: a.Heading, NoIndex: true, Body: a})
	r.header["Cache-Control"] = []string{noAge}
	return r
}
