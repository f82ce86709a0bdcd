package lists

import (
	"strconv"

	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/remedies"
)

// check is a check on the wire, with at most so many pairings.
func (w *listWire) check(c *stocking.Check, pairings int) told {
	w.use(c.Lines)
	out := gen.Check{
		Decision: gen.Decision(c.Decision.String()), TankDecision: gen.Decision(c.TankDecision.String()), SpeciesDecision: gen.Decision(c.SpeciesDecision.String()),
		WantedLevel: gen.Level(c.Wanted.String()), Summary: w.words.Summary(&c.Summary),
		Lines: w.checkedLines(), Findings: w.findings(c.Reasons), Ask: w.questions(c.Ask), NotJudged: w.notJudged(c.Reasons),
		FurtherPairings: max(0, len(c.Pairings)-pairings),
		Load:            loadWire(c.Load), LeaveOut: w.leaveOut(&c.LeaveOut), Cautions: wire.Cautions(c.Cautions),
		MissingTraits: wire.MissingTraits(c.Missing), Assumed: w.assumed(c.Assumed),
		ModelVersion: w.book.Model.Version(), CatalogueRevision: w.book.Snapshot.Revision(),
	}
	if c.Shared.OK {
		out.SharedWater = wire.SharedWater(c.Shared.Windows)
	} else {
		apart := w.apart(c.Shared.Apart)
		out.RuledOutBy = &apart
	}
	return told{out, w, c.Pairings[:min(len(c.Pairings), pairings)]}
}

func (w *listWire) checkedLines() []gen.CheckedLine {
	out := make([]gen.CheckedLine, len(w.lines))
	for i := range w.lines {
		l := &w.lines[i]
		out[i] = gen.CheckedLine{
			Line: i, Species: w.refs[i], Count: stocking.FishIn(w.book, l), CountGiven: l.Count > 0,
			Incoming: l.Incoming, SetAside: w.setAside(l), Keep: l.Keep, Weight: l.Weight, Refs: w.pointers(l.Refs),
			LengthCm: wire.Present(l.LengthCM), AgeMonths: wire.Present(l.AgeMonth), MonthsObserved: wire.Present(l.MonthsObserved),
		}
		if l.Sex != species.Unsexed {
			sex := gen.Sex(l.Sex.String())
			out[i].Sex = &sex
		}
		if l.Observed != conflict.Typical {
			d := gen.Calmer
			if l.Observed == conflict.Fiercer {
				d = gen.Fiercer
			}
			out[i].Disposition = &d
		}
	}
	return out
}

// pointers leads from positions in the caller's list back to the request.
func (w *listWire) pointers(refs []int) []string {
	out := make([]string, len(refs))
	for i, r := range refs {
		out[i] = w.pointer(r)
	}
	return out
}

func (w *listWire) pointer(at int) string {
	if at < w.residents {
		return "/residents/" + strconv.Itoa(at)
	}
	return "/incoming/" + strconv.Itoa(at-w.residents)
}

func (w *listWire) findings(list []stocking.Finding) []gen.Finding {
	out := make([]gen.Finding, len(list))
	for i := range list {
		f := &list[i]
		out[i] = gen.Finding{
			Code: string(f.Code()), Severity: gen.Severity(f.Severity.String()), Existing: f.Existing, Lines: f.Lines, Species: w.ids(f.Lines),
			Refs: w.refsOf(f), Summary: w.words.Finding(f), Evidence: wire.Evidence(f.Statement.Evidence),
		}
		if out[i].Lines == nil {
			out[i].Lines = []int{}
		}
		if f.Remedy != nil {
			change := w.change(f.Remedy)
			out[i].Remedy = &change
		}
	}
	return out
}

// ids are the species of lines, each once.
func (w *listWire) ids(lines []int) []string {
	out := make([]string, 0, len(lines))
	for _, l := range lines {
		if id := w.refs[l].Id; len(out) == 0 || out[len(out)-1] != id { // lines come in order of species
			out = append(out, id)
		}
	}
	return out
}

func (w *listWire) change(c *stocking.Change) gen.ListChange {
	out := gen.ListChange{Code: gen.ListChangeCode(c.Kind), Summary: w.words.Change(c, w.lines), Count: wire.Present(c.Count)}
	if c.Line >= 0 {
		out.Line = &c.Line
	}
	if c.Size != nil {
		out.Size = wire.Optional(wire.SizeText(c.Size))
	}
	switch c.Kind {
	case stocking.MoveReading:
		name := wire.WaterParameters[c.Parameter].Name
		out.Parameter = &name
		fallthrough
	case stocking.MoreCover, stocking.MoveTurnover, stocking.ChangeWater, stocking.CorrectLength:
		from, to := wire.Decimals(c.From, 3), wire.Decimals(c.To, 3)
		out.From, out.To = &from, &to
	}
	return out
}

// remedies are the changes that help the list, and what is said where none is enough.
func (w *listWire) remedies(r *remedies.Remedies) (out []gen.ListRemedy, none *string) {
	out = make([]gen.ListRemedy, len(r.Best))
	for i := range r.Best {
		best := &r.Best[i]
		changes := make([]gen.ListChange, len(best.Changes))
		for k := range best.Changes {
			changes[k] = w.change(&best.Changes[k])
		}
		out[i] = gen.ListRemedy{Changes: changes, Decision: gen.Decision(best.Decision.String())}
	}
	if r.None != nil {
		none = wire.Optional(w.words.Sentence(*r.None))
	}
	return out, none
}

func (w *listWire) assumed(list []conflict.Statement) []gen.Assumption {
	out := make([]gen.Assumption, len(list))
	for i, s := range list {
		out[i] = gen.Assumption{Code: string(s.Code), Summary: w.words.Sentence(s)}
		if s.Actor != nil {
			out[i].Species = wire.Optional(string(s.Actor.ID))
		}
	}
	return out
}

func (w *listWire) leaveOut(l *stocking.LeaveOut) gen.LeaveOut {
	out := gen.LeaveOut{
		Sets: make([]gen.LeaveOutSet, len(l.Sets)), Cost: l.Cost, Bound: l.Bound, Gap: max(0, l.Cost-l.Bound),
		Optimal: l.Optimal, Complete: l.Complete, Nodes: l.Nodes, Pinned: make([]gen.PinnedConflict, len(l.Pinned)),
	}
	for i, set := range l.Sets {
		lines := make([]gen.LeftOut, len(set.Lines))
		for k, left := range set.Lines {
			lines[k] = gen.LeftOut{Line: left.Line, Species: w.refs[left.Line].Id, Reason: w.words.Sentence(left.Reason)}
			if left.With >= 0 {
				with := left.With
				lines[k].With = &with
			}
		}
		out.Sets[i] = gen.LeaveOutSet{Lines: lines}
	}
	for i, p := range l.Pinned {
		out.Pinned[i] = gen.PinnedConflict{Lines: []int{p.First, p.Second}, Reason: w.words.Sentence(p.Reason)}
		if p.First == p.Second {
			out.Pinned[i].Lines = out.Pinned[i].Lines[:1]
		}
	}
	return out
}
