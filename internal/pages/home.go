package pages

import "commensal/internal/pages/links"

type homePage struct {
	Pair     pairForm
	List     listForm
	Search   field
	Examples []link
}

// examples are questions that people ask often, by the names they use.
var examples = [][2]string{{"betta splendens", "neon tetra"}, {"oscar", "neon tetra"}, {"angelfish", "cherry shrimp"}, {"goldfish", "zebra danio"}}

// home asks about two kinds, a list, or one kind.
func (q *request) home() *reply {
	body := homePage{Pair: q.pairFormOf(&links.Pair{}, "", ""), List: q.listFormOf(&links.Tank{}, "", ""),
		Search: field{ID: "q", Name: "q", Label: q.words.Say("form.search"), Required: true}}
	for _, e := range examples {
		first, second := q.Resolve(e[0]), q.Resolve(e[1])
		if first.Found && second.Found {
			p := links.Pair{First: first.Kind.ID, Second: second.Kind.ID}
			body.Examples = append(body.Examples, link{p.Path(), q.words.Say("pair.title", "first", first.Kind.Name, "second", second.Kind.Name)})
		}
	}
	return q.page("home", frame{Title: q.words.Say("site.question"), Path: "/", Here: "/", Body: body})
}
