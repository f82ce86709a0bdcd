package localcli

import (
	"fmt"
	"io"

	"commensal/api/gen"
)

// placementsPage lays out placements for a person.
type placementsPage struct {
	page
	a *gen.Placements
}

// WritePlacements writes placements for people: tank by tank, then fish by fish.
func (l Layout) WritePlacements(w io.Writer, a *gen.Placements) error {
	for i := range a.Incoming {
		a.Incoming[i].Incoming = false // all of them are, which need not be said
	}
	o := &placementsPage{page{Layout: l}, a}
	o.line("%s", o.wrap("", "", a.Summary))
	for i := range a.Tanks {
		t := &a.Tanks[i]
		o.title(tankTitle(t.Tank, t.Label, t.ExternalRef))
		o.line("%s", o.wrap("  ", "    ", namesOf(a.Incoming, t.Lines)))
		o.item(t.Summary)
		o.item(t.HarmSummary)
	}
	o.title("Fish by fish")
	for i := range a.Arrivals {
		o.arrival(&a.Arrivals[i])
	}
	o.byTank()
	if len(a.HeldTanks) > 0 {
		o.title("On hold already")
		for _, t := range a.HeldTanks {
			o.item(tankTitle(t.Tank, t.Label, t.ExternalRef) + ": " + t.Summary)
		}
	}
	o.cautions(namesIn(a.Incoming), a.Cautions)
	o.line("")
	o.foot(a.ModelVersion, a.CatalogueRevision)
	return o.writeTo(w)
}

// byTank says for each tank what it could take, where that was asked for.
func (o *placementsPage) byTank() {
	if o.a.ByTank == nil {
		return
	}
	o.title("Tank by tank")
	for _, t := range *o.a.ByTank {
		o.line("  %s", tankTitle(t.Tank, t.Label, t.ExternalRef))
		for _, c := range t.Candidates {
			text := namesOf(o.a.Incoming, c.Lines) + ", " + string(c.Decision)
			if c.Harm != nil {
				text += fmt.Sprintf(", harm %.1f", *c.Harm)
			}
			o.line("%s", o.wrap("      ", "        ", text+": "+c.Reason))
		}
	}
}

// tankTitle is a tank by the position given, from 0 as in the file, and its owner's name for it.
func tankTitle(tank int, label, name *string) string {
	if label != nil {
		name = label
	}
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
	o.line("%s", o.wrap("  ", "    ", fmt.Sprintf("%s: %s; %d of the tanks could take this", namesOf(o.a.Incoming, p.Lines), where, p.Fitting)))
	o.line("%s", o.wrap("      ", "        ", p.Reason))
	for _, x := range p.Options {
		text := fmt.Sprintf("tank %d, %s", x.Tank, x.Decision)
		if x.Harm != nil {
			text += fmt.Sprintf(", harm %.1f", *x.Harm)
		}
		o.line("%s", o.wrap("      ", "        ", text+": "+x.Reason))
	}
}
