package localcli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"commensal/api/gen"
)

// checkPage lays out a check for a person at a counter.
type checkPage struct {
	page
	c *gen.Check
}

// WriteCheck writes a check for people: what to do first, then why.
func (l Layout) WriteCheck(w io.Writer, c *gen.Check) error {
	o := &checkPage{page{Layout: l}, c}
	o.line("%s\n", o.wrap("", "", c.Summary))
	o.list(c.Lines)
	if c.SpeciesDecision != c.Decision {
		o.field("Ordinary fish", string(c.SpeciesDecision)+"; what was seen of these very fish changes it")
	}
	if c.TankDecision != c.Decision {
		o.field("Whole tank", string(c.TankDecision)+", for what stood there before")
	}
	o.unclear()
	for _, s := range []gen.Severity{gen.Stop, gen.Advice, gen.Note} {
		o.findings(severityTitle[s], func(f *gen.Finding) bool { return f.Severity == s && !f.Existing })
	}
	o.findings("What stood before", func(f *gen.Finding) bool { return f.Existing })
	o.ask()
	o.pairings()
	o.leaveOut()
	o.groupings()
	o.remedies()
	o.sharedWater()
	o.load()
	o.outlook()
	o.assumed()
	o.cautions(namesIn(c.Lines), c.Cautions)
	o.line("")
	o.foot(c.ModelVersion, c.CatalogueRevision)
	return o.writeTo(w)
}

var severityTitle = map[gen.Severity]string{gen.Stop: "What stops it", gen.Advice: "What to fix", gen.Note: "Worth knowing"}

// findings lists those that belong under a title.
func (o *checkPage) findings(title string, belongs func(*gen.Finding) bool) {
	titled := false
	for i := range o.c.Findings {
		f := &o.c.Findings[i]
		if !belongs(f) {
			continue
		}
		if !titled {
			o.title(title)
			titled = true
		}
		text := f.Summary
		if f.Remedy != nil && !saysWhatToDo[f.Code] {
			text += " " + f.Remedy.Summary
		}
		o.item(text)
	}
}

// saysWhatToDo are findings of which the sentence has the remedy in it.
var saysWhatToDo = map[string]bool{"sand_needed": true, "lid_needed": true, "mature_tank_needed": true}

// unclear lists the names that may mean several kinds.
func (o *checkPage) unclear() {
	said := map[string]bool{}
	for i := range o.c.Lines {
		u := o.c.Lines[i].Unclear
		if u == nil || said[u.Summary] {
			continue
		}
		if len(said) == 0 {
			o.title("Names that may mean several kinds")
		}
		said[u.Summary] = true
		o.item(u.Summary)
	}
}

// toldOfNames reports that a question stands among the names that may mean several kinds.
func (o *checkPage) toldOfNames(question string) bool {
	return slices.ContainsFunc(o.c.Lines, func(l gen.CheckedLine) bool { return l.Unclear != nil && l.Unclear.Summary == question })
}

// ask lists what to ask, but for what was asked about names.
func (o *checkPage) ask() {
	asked := false
	for _, q := range o.c.Ask {
		if o.toldOfNames(q.Summary) {
			continue
		}
		if !asked {
			o.title("Ask")
			asked = true
		}
		o.item(q.Summary)
	}
}

// pairings lists those that are not low.
func (o *checkPage) pairings() {
	o.title("Fish that do not agree")
	low := 0
	for _, p := range o.c.Pairings {
		if p.Level == gen.Low {
			low++
			continue
		}
		text := p.Summary
		if p.SpeciesLevel != nil {
			text += fmt.Sprintf(" Ordinary fish: %.1f, %s.", p.SpeciesLevel.Score, p.SpeciesLevel.Level)
		}
		lead := fmt.Sprintf("  %5.1f  %s", p.Score, pad(string(p.Level), 10))
		o.line("%s", o.wrap(lead, strings.Repeat(" ", runes(lead)), text))
	}
	if low == len(o.c.Pairings) {
		o.line("  None.")
	}
}

func (o *checkPage) leaveOut() {
	l := &o.c.LeaveOut
	if len(l.Sets) == 0 && len(l.Pinned) == 0 {
		return
	}
	o.title("What to leave out")
	for i, set := range l.Sets {
		if len(l.Sets) > 1 {
			o.line("  Choice %d", i+1)
		}
		for _, left := range set.Lines {
			o.item(namesOf(o.c.Lines, []int{left.Line}) + ": " + left.Reason)
		}
	}
	if !l.Optimal {
		o.item("Less may do: this is not proved to be the least.")
	}
	for _, p := range l.Pinned {
		o.item("Stays and clashes all the same: " + p.Reason)
	}
}

// groupings says how the list could live in several tanks.
func (o *checkPage) groupings() {
	g := o.c.Groupings
	if g == nil {
		return
	}
	if len(g.Groups) == 1 && len(g.Unplaced) == 0 {
		o.title("In one tank of the right size")
	} else {
		o.title("In tanks of their own")
	}
	for i := range g.Groups {
		size := "a tank"
		if g.Groups[i].Size != nil {
			size = *g.Groups[i].Size
		}
		o.item(size + ": " + namesOf(o.c.Lines, g.Groups[i].Lines) + " (" + string(g.Groups[i].Decision) + ")")
	}
	for _, u := range g.Unplaced {
		o.item("no tank suits: " + namesOf(o.c.Lines, u.Lines) + ". " + u.Reason)
	}
	if !g.Optimal && g.LowerBound > 1 {
		o.item(fmt.Sprintf("At least %d tanks are needed.", g.LowerBound))
	}
}

func (o *checkPage) sharedWater() {
	if o.c.SharedWater != nil {
		o.waterRows("Water for all", o.c.SharedWater)
		return
	}
	o.title("Water for all")
	for _, a := range *o.c.RuledOutBy {
		o.line("%s", o.wrap("  ", "  ", fmt.Sprintf("None: %s lives at %s %s to %s, %s at %s to %s.",
			o.c.Lines[a.Low.Line].Species.VernacularName, parameterName[a.Parameter], number(a.Low.Tolerated.Low), o.quantity(a.Parameter, a.Low.Tolerated.High),
			o.c.Lines[a.High.Line].Species.VernacularName, number(a.High.Tolerated.Low), o.quantity(a.Parameter, a.High.Tolerated.High))))
	}
}

func (o *checkPage) outlook() {
	if len(o.c.Outlook.Events) == 0 {
		return
	}
	o.title("As they grow")
	for _, e := range o.c.Outlook.Events {
		o.item(e.Summary)
	}
}

// remedies lists what would help, one way to a line.
func (o *checkPage) remedies() {
	if o.c.Decision == gen.Proceed {
		return
	}
	o.title("What would help")
	for _, r := range o.c.Remedies {
		steps := make([]string, len(r.Changes))
		for i, c := range r.Changes {
			steps[i] = c.Summary
		}
		o.item(strings.Join(steps, " ") + " Then: " + string(r.Decision) + ".")
	}
	if o.c.NoRemedy != nil {
		o.item(*o.c.NoRemedy)
	}
}

func (o *checkPage) assumed() {
	if len(o.c.Assumed) == 0 {
		return
	}
	o.title("Assumed")
	for _, a := range o.c.Assumed {
		o.item(a.Summary)
	}
}
