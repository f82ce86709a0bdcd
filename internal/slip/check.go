package slip

import (
	"strconv"
	"strings"

	"commensal/api/gen"
)

// Check is a check in brief.
func Check(c *gen.BriefCheck, width int) string {
	w := New(width)
	w.Text("", 0, strings.ToUpper(string(c.Decision)))
	w.Text("", 0, sentence(c.Summary, string(c.Decision)))
	if c.TankDecision != c.Decision {
		w.Text("", 2, "The tank as a whole: "+string(c.TankDecision)+".")
	}
	if len(c.Reasons) > 0 {
		w.Rule()
	}
	for i := range c.Reasons {
		w.reason(&c.Reasons[i])
	}
	if n := c.FurtherReasons; n > 0 {
		w.Text("", 2, "And "+counted(n, "further reason")+".")
	}
	w.ask(c.Ask)
	w.offers(c)
	w.Rule()
	w.foot(c.ModelVersion, c.CatalogueRevision)
	return w.String()
}

// reason tells one reason: how grave, its code, the sentence and the lines.
func (w *Writer) reason(r *gen.BriefReason) {
	head := strings.ToUpper(string(r.Severity)) + " " + r.Code
	if r.Existing != nil && *r.Existing {
		head += " (before)"
	}
	w.Text("", 2, head)
	w.Text("  ", 2, r.Summary)
	if len(r.Refs) > 0 {
		w.Text("  ", 4, "for "+strings.Join(r.Refs, ", "))
	}
}

// ask lists what to ask.
func (w *Writer) ask(list []gen.AskedQuestion) {
	if len(list) == 0 {
		return
	}
	w.Rule()
	for i := range list {
		w.Text("ASK ", 4, list[i].Summary)
	}
}

// offers lists what could be sold, each with the number of its article, or why nothing is.
func (w *Writer) offers(c *gen.BriefCheck) {
	if c.Offers == nil {
		return
	}
	w.Rule()
	for _, o := range *c.Offers {
		lead := ""
		if o.Article != nil {
			lead = *o.Article + " "
		}
		w.Text(lead, 2, o.Summary)
	}
	if c.NoOffers != nil {
		w.Text("", 2, *c.NoOffers)
	}
}

// counted is a number with its noun.
func counted(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return strconv.Itoa(n) + " " + noun
}
