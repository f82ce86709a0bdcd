package slip

import (
	"strconv"
	"strings"

	"commensal/api/gen"
)

// Additions are what could join a list, in brief.
func Additions(a *gen.BriefAdditions, width int) string {
	w := New(width)
	w.Text("", 0, a.Summary)
	w.Text("", 2, "The list as it stands: "+string(a.Decision)+".")
	w.Rule()
	w.additions("FITS", a.Fitting)
	w.additions("NO", a.Below)
	w.Rule()
	w.foot(a.ModelVersion, a.CatalogueRevision)
	return w.String()
}

func (w *Writer) additions(word string, list []gen.BriefAddition) {
	for i := range list {
		x := &list[i]
		w.Text(word+" ", 2, strconv.Itoa(x.Count)+" × "+x.VernacularName+" ("+string(x.Decision)+")")
		w.Text("  ", 2, x.Summary)
	}
}

// Placements are who goes where, in brief. who says of each arrival which fish it is and how many; nil where that is
// not known, and the caller's own words for the lines stand alone.
func Placements(p *gen.BriefPlacements, who []string, width int) string {
	w := New(width)
	w.Text("", 0, p.Summary)
	w.Rule()
	for i := range p.Arrivals {
		w.arrival(&p.Arrivals[i])
		if who != nil {
			w.Text("  ", 2, who[i])
		}
		if reason := p.Arrivals[i].Reason; reason != nil {
			w.Text("  ", 2, *reason)
		}
	}
	w.Rule()
	w.foot(p.ModelVersion, p.CatalogueRevision)
	return w.String()
}

func (w *Writer) arrival(a *gen.BriefArrival) {
	refs := strings.Join(a.Refs, ", ")
	if a.Tank == nil {
		w.Text("", 2, refs+": no place")
		return
	}
	tank := "tank " + strconv.Itoa(*a.Tank)
	if a.Label != nil {
		tank += " (" + *a.Label + ")"
	} else if a.ExternalRef != nil {
		tank += " (" + *a.ExternalRef + ")"
	}
	if a.Decision != nil {
		tank += ", " + string(*a.Decision)
	}
	w.Text("", 2, refs+": "+tank)
}
