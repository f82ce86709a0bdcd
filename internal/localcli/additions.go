package localcli

import (
	"fmt"
	"io"

	"commensal/api/gen"
)

// WriteAdditions writes for people what could join a list.
func (l Layout) WriteAdditions(w io.Writer, a *gen.Additions) error {
	o := &page{Layout: l}
	what := "could join"
	if a.InsteadOf != nil {
		what = "could take the place of " + a.InsteadOf.VernacularName
	}
	o.line("%s\n", o.wrap("", "", fmt.Sprintf("%d kinds looked at; these %s, best first.", a.Considered, what)))
	o.list(a.Lines)
	o.field("Now", "decision "+string(a.Decision))
	o.title("Fits")
	if len(a.Fitting) == 0 {
		o.line("  Nothing.")
	}
	for _, x := range a.Fitting {
		o.item(additionText(&x))
	}
	if len(a.Below) > 0 {
		o.title("Not quite")
		for _, x := range a.Below {
			o.item(additionText(&x))
		}
	}
	o.line("")
	o.foot(a.ModelVersion, a.CatalogueRevision)
	return o.writeTo(w)
}

func additionText(a *gen.Addition) string {
	text := fmt.Sprintf("%d %s, score %.1f", a.Count, a.Species.VernacularName, a.WorstScore)
	if a.Limit == nil {
		if a.Why != nil {
			text += ": " + *a.Why
		}
		return text
	}
	text += ": " + a.Limit.Summary
	if a.More > 0 {
		text += fmt.Sprintf(" And %d more.", a.More)
	}
	return text
}
