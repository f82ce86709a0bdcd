package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"commensal/api/gen"
)

// tally counts the outcomes of some lists.
type tally struct {
	cases, inside, lenient, strict, refused int
	heldCleared                             int // held by every keeper, answered proceed
	clearedHeld, clear                      int // cleared by every keeper: answered hold; all
}

func (t *tally) add(o *outcome) {
	t.cases++
	switch d := o.decision(); {
	case o.problem != nil:
		t.refused++
	case o.inside():
		t.inside++
	case rank(d) < rank(o.Acceptable[0]):
		t.lenient++
	default:
		t.strict++
	}
	if o.only("hold") && o.decision() == "proceed" {
		t.heldCleared++
	}
	if o.only("proceed") {
		t.clear++
		if o.decision() == "hold" {
			t.clearedHeld++
		}
	}
}

// rank orders decisions by how much stands against a list.
func rank(decision string) int {
	return slices.Index([]string{"proceed", "advise", "hold"}, decision)
}

func (t *tally) share() float64 { return 100 * float64(t.inside) / float64(max(1, t.cases)) }

func tallyOf(outcomes []outcome, of func(*outcome) bool) (t tally) {
	for i := range outcomes {
		if of(&outcomes[i]) {
			t.add(&outcomes[i])
		}
	}
	return t
}

// writeTable prints the lists by the main reason of their first keeper, then all of them.
func writeTable(w io.Writer, outcomes []outcome) {
	var causes []string
	for i := range outcomes {
		if c := outcomes[i].Mains[0]; !slices.Contains(causes, c) {
			causes = append(causes, c)
		}
	}
	slices.Sort(causes)
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(tab, "main cause\tlists\tinside\ttoo lenient\ttoo strict\trefused\tshare\t")
	for _, c := range causes {
		t := tallyOf(outcomes, func(o *outcome) bool { return o.Mains[0] == c })
		t.write(tab, c)
	}
	all := tallyOf(outcomes, func(*outcome) bool { return true })
	all.write(tab, "all")
	tab.Flush()
	fmt.Fprintf(w, "held by both keepers, answered proceed: %d\n", all.heldCleared)
	fmt.Fprintf(w, "proceed for both keepers, answered hold: %d of %d\n", all.clearedHeld, all.clear)
}

func (t *tally) write(w io.Writer, name string) {
	fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%d\t%.1f%%\t\n", name, t.cases, t.inside, t.lenient, t.strict, t.refused, t.share())
}

// writeMisses prints every list that was decided otherwise, or refused.
func writeMisses(w io.Writer, outcomes []outcome) {
	for i := range outcomes {
		if o := &outcomes[i]; !o.inside() {
			o.write(w)
		}
	}
}

func (o *outcome) write(w io.Writer) {
	body, _ := o.body()
	fmt.Fprintf(w, "%s %s, defended: %s (%s): %s\n  %s\n", o.ID, o.decision(), strings.Join(o.Acceptable, ", "), strings.Join(o.Mains, ", "), o.Why, body)
	if o.problem != nil {
		fmt.Fprintf(w, "  %s\n", o.problem.Detail)
		return
	}
	for _, f := range o.check.Findings {
		if f.Severity != gen.Note {
			fmt.Fprintf(w, "  %s %s: %s\n", f.Severity, f.Code, f.Summary)
		}
	}
	for _, p := range o.check.Pairings {
		if p.Level != gen.Low {
			fmt.Fprintf(w, "  %.1f %s: %s\n", p.Score, p.Level, p.Summary)
		}
	}
}
