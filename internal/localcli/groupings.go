package localcli

import (
	"fmt"
	"io"

	"commensal/api/gen"
)

// groupingsPage lays out a split for a person.
type groupingsPage struct {
	page
	g *gen.Groupings
}

// WriteGroupings writes a split for people: tank by tank, then what has no place.
func (l Layout) WriteGroupings(w io.Writer, g *gen.Groupings) error {
	o := &groupingsPage{page{Layout: l}, g}
	o.line("%s", o.wrap("", "", g.Summary))
	for i := range g.Groups {
		o.group(i, &g.Groups[i])
	}
	o.unplaced(g.Unplaced)
	o.cautions(namesIn(g.Lines), g.Cautions)
	o.line("")
	o.foot(g.ModelVersion, g.CatalogueRevision)
	return o.writeTo(w)
}

func (o *groupingsPage) group(i int, g *gen.Grouping) {
	title := fmt.Sprintf("Tank %d", i+1)
	switch {
	case g.Tank != nil:
		title = fmt.Sprintf("Tank %d of those given", *g.Tank+1)
	case g.Size != nil:
		title += ": " + *g.Size
	}
	o.title(title)
	o.line("%s", o.wrap("  ", "    ", namesOf(o.g.Lines, g.Lines)))
	o.item(g.Summary)
}

func (o *groupingsPage) unplaced(list []gen.Unplaced) {
	if len(list) == 0 {
		return
	}
	o.title("Without a place")
	for _, u := range list {
		text := namesOf(o.g.Lines, u.Lines) + ": " + u.Reason
		if u.Tank != nil {
			text += fmt.Sprintf(" Tank %d came nearest.", *u.Tank+1)
		}
		o.item(text)
	}
}
