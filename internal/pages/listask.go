package pages

import (
	"net/url"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
)

// The parts of a list in a form: text as typed, and lines that were settled before, one
// to each repeated field.
var listParts = [2]struct{ text, lines string }{{"list", "line"}, {"incoming", "joining"}}

// readListForm reads a list from a form. Names are as typed.
func readListForm(query url.Values) (links.List, []links.Fault) {
	var l links.List
	faults := l.Tank.ReadFields(query)
	l.Tank.ReadHabits(query)
	for i, part := range listParts {
		var lines []links.Line
		for _, text := range append([]string{query.Get(part.text)}, query[part.lines]...) {
			read, wrong := links.ReadBasket(text)
			lines, faults = append(lines, read...), append(faults, wrong...)
		}
		if len(lines) > links.MaxLines {
			lines, faults = lines[:links.MaxLines], append(faults, links.TooLong(""))
		}
		if i == 0 {
			l.Residents = lines
		} else {
			l.Incoming = lines
		}
	}
	return l, faults
}

// settle resolves the names of a list to ids. Where one cannot be resolved, or something
// cannot be read, it gives a page that asks; action is the form it leads back to.
func (q *request) settle(l links.List, faults []links.Fault, action string) (links.List, *reply) {
	ask := q.asking(action)
	open := false
	for i, lines := range [2][]links.Line{l.Residents, l.Incoming} {
		name := listParts[i].lines
		for k := range lines {
			line := &lines[k]
			n := q.resolveLine(line)
			if n.Found {
				ask.Hidden = append(ask.Hidden, hidden{name, line.Text()})
				continue
			}
			open = true
			ask.name(q, name, line.Name, n, func(kind answers.Kind) string {
				chosen := *line
				chosen.Name = kind.ID
				return chosen.Text()
			})
		}
	}
	empty := len(l.Residents)+len(l.Incoming) == 0
	if !open && len(faults) == 0 && !empty {
		return l.Canonical(), nil
	}
	skip := ask.wrong(q, faults)
	if !open && len(faults) == 0 || lacksLines(faults) {
		ask.Heading = q.words.Say("ask.list")
		ask.Fields = append(ask.Fields, field{ID: "line", Name: "line", Label: q.words.Say("form.kind")})
	}
	ask.rest(q.query, skip...)
	return l, ask.reply(q)
}

// lacksLines reports whether a line of the list is what could not be read.
func lacksLines(faults []links.Fault) bool {
	for _, f := range faults {
		if f.Field == "list" {
			return true
		}
	}
	return false
}

// resolveLine finds what a line names: as it was typed, else without the word for its
// sex. A found line has an id for its name.
func (q *request) resolveLine(l *links.Line) answers.Named {
	n := q.Resolve(l.Name)
	if l.Bare != "" {
		if n.Found { // the sex is part of the name
			l.Bare = ""
		} else if bare := q.Resolve(l.Bare); bare.Found || len(n.Candidates) == 0 || bare.Ambiguous {
			n, l.Name = bare, l.Bare
		}
	}
	if n.Found {
		l.Name = n.Kind.ID
	}
	return n
}
