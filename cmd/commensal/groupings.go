package main

import (
	"fmt"
	"io"
	"strings"

	"commensal/api/gen"

	"github.com/spf13/cobra"
)

func (p *Program) groupingsCommand() *cobra.Command {
	q := &listQuestion{path: "/v1/groupings"}
	cmd := &cobra.Command{
		Use:   "groupings FILE|-",
		Short: "Split a list over tanks",
		Long: "groupings splits a list over as few tanks of standard sizes as will hold it without a hold, or,\n" +
			"where the file has tanks, over those. A shoal is never split. The file has residents and may\n" +
			"have tanks and wanted_level; what each of them says is as for check.\n\n" + groupingsFormat,
		Example: "  commensal groupings list.yaml\n  printf 'neon tetra,12\\noscar,1\\n' | commensal groupings -",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := p.put(q, args[0]); err != nil {
				return err
			}
			var g gen.Groupings
			if err := decode(q.answer, &g); err != nil {
				return err
			}
			return p.show(q, func(w io.Writer) error { return writeGroupings(w, &g, q.units.value == string(gen.Us)) })
		},
	}
	q.flags(cmd)
	return cmd
}

// groupingsFormat is the help on what a file for groupings has.
const groupingsFormat = `  residents:
    - {species: neon tetra, count: 12}
    - {species: oscar, count: 1}
  tanks:                     # leave out for as many tanks as it takes
    - {size: 60x30x36cm, temperature_c: 25}
    - {size: 150x60x60cm}`

// groupingsPage lays out a split for a person.
type groupingsPage struct {
	page
	g *gen.Groupings
}

// writeGroupings writes a split for people: tank by tank, then what has no place.
func writeGroupings(w io.Writer, g *gen.Groupings, us bool) error {
	o := &groupingsPage{page{us: us}, g}
	o.line("%s", wrap("", "", g.Summary))
	for i := range g.Groups {
		o.group(i, &g.Groups[i])
	}
	o.unplaced(g.Unplaced)
	o.listCautions(g.Lines, g.Cautions)
	o.line("\nModel %s, %s, commensal %s", g.ModelVersion, catalogueName(g.CatalogueRevision), programVersion())
	_, err := o.b.WriteTo(w)
	return err
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
	o.line("%s", wrap("  ", "    ", namesOf(o.g.Lines, g.Lines)))
	o.item(g.Summary)
}

// namesOf are some lines of a list with their numbers of fish.
func namesOf(list []gen.CheckedLine, lines []int) string {
	texts := make([]string, len(lines))
	for k, i := range lines {
		texts[k] = lineText(&list[i])
	}
	return strings.Join(texts, "; ")
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
