package pages

import (
	"encoding/json"
	"strings"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
)

type searchPage struct {
	Field field
	Asked bool
	Found string
	Hits  []hit
}

type hit struct{ Path, Label, Scientific, Matched string }

const (
	maxHits        = 40
	maxSuggestions = 8
)

// search finds kinds by name; an id, as a choice sends it, leads to its page.
func (q *request) search() *reply {
	asked := strings.TrimSpace(q.query.Get("q"))
	n := q.Resolve(asked)
	if n.Found && n.Kind.ID == asked {
		return redirect("/species/" + n.Kind.ID)
	}
	body := searchPage{Field: field{ID: "q", Name: "q", Label: q.words.Say("form.search"), Value: links.Printable(asked, 200)}, Asked: asked != ""}
	if body.Asked {
		for _, s := range q.Search(asked, maxHits) {
			h := hit{Path: "/species/" + s.Kind.ID, Label: s.Kind.Name, Scientific: s.Kind.Scientific}
			if s.Matched != s.Kind.Name && s.Matched != s.Kind.Scientific {
				h.Matched = q.words.Say("search.matched", "name", s.Matched)
			}
			body.Hits = append(body.Hits, h)
		}
		key := "search.found"
		if len(body.Hits) == 0 {
			key = "search.none"
		}
		body.Found = q.words.Say(key, "q", links.Printable(asked, 60))
		if n.NotAFish != "" { // names that look like it are no answer
			body.Found, body.Hits = n.NotAFish, nil
		}
	}
	return q.page("search", frame{Title: q.words.Say("search.title"), Path: "/species", Here: "/species", NoIndex: body.Asked, Body: &body})
}

type suggestion struct {
	ID         string `json:"id"` // what to write into the field: a name that leads to the kind
	Name       string `json:"name"`
	Scientific string `json:"scientific"`
	Matched    string `json:"matched"`
}

// suggest lists names that fit, for the combobox.
func (q *request) suggest() *reply {
	found := q.Search(q.query.Get("q"), maxSuggestions)
	out := make([]suggestion, len(found))
	for i, s := range found {
		out[i] = suggestionOf(q, s)
	}
	body, err := json.Marshal(out)
	if err != nil {
		return q.broken(err)
	}
	return made(jsonType, body, dataPolicy, pageAge)
}

func suggestionOf(q *request, s answers.Suggestion) suggestion {
	return suggestion{q.typed(s.Kind), s.Kind.Name, s.Kind.Scientific, s.Matched}
}
