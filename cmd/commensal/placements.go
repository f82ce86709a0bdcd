package main

import (
	"fmt"
	"io"

	"commensal/api/gen"

	"github.com/spf13/cobra"
)

// placementsFormat is the help on what a file for placements has.
const placementsFormat = `  incoming:
    - {species: oscar, count: 1, length_cm: 18}
    - {species: Hoplisoma panda, count: 6}
    - {species: bristlenose, count: 1}
  together: [[1, 2]]         # positions in incoming, from 0, that share a tank
  tanks:
    - external_ref: harbour street
      tank: {size: 180x60x60cm, temperature_c: 26}
    - external_ref: mill lane
      tank: {size: 100x40x40cm}
      residents:
        - {species: neon tetra, count: 12}
  one_each: no               # yes: at most one line to a tank
  by_tank: no                # yes: tell also what each tank could take`

func (p *Program) placementsCommand() *cobra.Command {
	q := &listQuestion{path: "/v1/placements"}
	cmd := &cobra.Command{
		Use:   "placements FILE|-",
		Short: "Place fish that need a home in tanks",
		Long: "placements says who goes where: as many as can be, with the least harm, and why not elsewhere.\n" +
			"What joins a tank must leave it without a hold. The file is YAML or JSON with the fields of the API:\n\n" + placementsFormat,
		Example: "  commensal placements homes.yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := p.put(q, args[0]); err != nil {
				return err
			}
			var a gen.Placements
			if err := decode(q.answer, &a); err != nil {
				return err
			}
			return p.show(q, func(w io.Writer) error { return writePlacements(w, &a, q.units.value == string(gen.Us)) })
		},
	}
	q.flags(cmd)
	return cmd
}

// placementsPage lays out placements for a person.
type placementsPage struct {
	page
	a *gen.Placements
}

// writePlacements writes placements for people: tank by tank, then fish by fish.
func writePlacements(w io.Writer, a *gen.Placements, us bool) error {
	for i := range a.Incoming {
		a.Incoming[i].Incoming = false // all of them are, which need not be said
	}
	o := &placementsPage{page{us: us}, a}
	o.line("%s", wrap("", "", a.Summary))
	for i := range a.Tanks {
		t := &a.Tanks[i]
		o.title(tankTitle(t.Tank, t.ExternalRef))
		o.line("%s", wrap("  ", "    ", namesOf(a.Incoming, t.Lines)))
		o.item(t.Summary)
	}
	o.title("Fish by fish")
	for i := range a.Arrivals {
		o.arrival(&a.Arrivals[i])
	}
	o.byTank()
	if len(a.Held) > 0 {
		o.field("\nOn hold already", fmt.Sprint(a.Held))
	}
	o.listCautions(a.Incoming, a.Cautions)
	o.line("\nModel %s, %s, commensal %s", a.ModelVersion, catalogueName(a.CatalogueRevision), programVersion())
	_, err := o.b.WriteTo(w)
	return err
}

// byTank says for each tank what it could take, where that was asked for.
func (o *placementsPage) byTank() {
	if o.a.ByTank == nil {
		return
	}
	o.title("Tank by tank")
	for _, t := range *o.a.ByTank {
		o.line("  %s", tankTitle(t.Tank, t.ExternalRef))
		for _, c := range t.Candidates {
			text := namesOf(o.a.Incoming, c.Lines) + ", " + string(c.Decision)
			if c.Harm != nil {
				text += fmt.Sprintf(", harm %.1f", *c.Harm)
			}
			o.line("%s", wrap("      ", "        ", text+": "+c.Reason))
		}
	}
}

// tankTitle is a tank by the position given, from 0 as in the file, and its owner's name for it.
func tankTitle(tank int, name *string) string {
	if name == nil {
		return fmt.Sprintf("Tank %d", tank)
	}
	return fmt.Sprintf("Tank %d, %s", tank, *name)
}

func (o *placementsPage) arrival(p *gen.PlacedArrival) {
	where := "no tank"
	if p.Tank != nil {
		where = fmt.Sprintf("tank %d", *p.Tank)
	}
	o.line("%s", wrap("  ", "    ", fmt.Sprintf("%s: %s; %d of the tanks could take this", namesOf(o.a.Incoming, p.Lines), where, p.Fitting)))
	for _, x := range p.Options {
		text := fmt.Sprintf("tank %d, %s", x.Tank, x.Decision)
		if x.Harm != nil {
			text += fmt.Sprintf(", harm %.1f", *x.Harm)
		}
		o.line("%s", wrap("      ", "        ", text+": "+x.Reason))
	}
}
