package stocking

import (
	"slices"

	"commensal/internal/species"
)

// finish judges the best candidates with the whole list, in order, until enough fit.
// What the quick look took for fitting and the judging does not goes below.
func (sc *scan) finish() (fitting, below []Addition) {
	limit := orDefault(sc.o.Limit, DefaultAdditions)
	for _, c := range sc.fitting.sorted() {
		if len(fitting) == limit {
			break
		}
		if a := sc.verify(c); a.Fits {
			fitting = append(fitting, a)
		} else {
			below = append(below, a)
		}
	}
	most := orDefault(sc.o.Below, DefaultBelow)
	if sc.o.Below < 0 {
		return fitting, nil
	}
	for _, c := range sc.below.sorted() {
		if len(below) >= most {
			break
		}
		below = append(below, sc.verify(c))
	}
	return fitting, below[:min(len(below), most)]
}

// sorted are the kept entries, the best first.
func (b *best) sorted() []placed {
	slices.SortFunc(b.heap, func(x, y placed) int { return x.rank.compare(&y.rank) })
	return b.heap
}

// verify judges the list with one more line.
func (sc *scan) verify(c placed) Addition {
	sp := sc.book.Snapshot.At(c.rank.index)
	s := *sc.stock
	s.Lines = append(slices.Clone(s.Lines), Line{Index: c.rank.index, Count: c.count, Incoming: true, Refs: []int{len(s.Lines)}})
	j := prepare(sc.book, &s)
	j.judge()
	at := slices.IndexFunc(j.lines, func(r resident) bool { return r.Index == c.rank.index })
	a := Addition{
		Species: sp, Index: c.rank.index, Count: c.count, Customary: j.customary(at), Decision: j.decision,
		WaterFit: c.rank.water, ZoneFree: c.rank.zone, Likeness: c.rank.likeness,
	}
	limits := sc.weigh(j, at, &a)
	a.Fits = len(limits) == 0
	if !a.Fits {
		a.Limit, a.More = &limits[0], len(limits)-1
	}
	for _, n := range j.cautions() {
		if n.Species == sp {
			a.Cautions = append(a.Cautions, n)
		}
	}
	return a
}

// customary is the customary group of a line's species.
func (j *judging) customary(at int) int {
	return max(1, int(j.lines[at].typical(species.GroupMin, 1)+0.5))
}

// weigh fills in the pairings of the joining line and lists the reasons against it, the
// gravest first.
func (sc *scan) weigh(j *judging, at int, a *Addition) (limits []Limit) {
	base := sc.base.decision
	for i := range j.pairs {
		p := &j.pairs[i]
		if p.first != at && p.second != at {
			continue
		}
		a.Sum += p.value
		d := j.decisionFor(p.level)
		counts := d > base || d == Hold
		if !counts && a.Pairing != nil && p.value <= a.Worst {
			continue
		}
		joining := sc.joining(j, at, p)
		if a.Pairing == nil || p.value > a.Worst {
			a.Worst, a.Pairing = p.value, &joining
		}
		if counts {
			limits = append(limits, Limit{d, joining.With, joining.Summary})
		}
	}
	for _, f := range j.findings {
		if d := decisionOf([]Finding{f}); (d > base || (d == Hold && slices.Contains(f.Lines, at))) && sc.isNew(j, at, &f) {
			with := TheTank
			if slices.Equal(f.Lines, []int{at}) {
				with = OwnKind
			}
			limits = append(limits, Limit{d, with, f.Statement})
		}
	}
	if len(limits) == 0 && j.decision > base {
		limits = append(limits, sc.crowdedOut(j, at))
	}
	slices.SortStableFunc(limits, func(x, y Limit) int { return int(y.Decision) - int(x.Decision) })
	return limits
}

// crowdedOut is the reason why the list as a whole is judged worse although nothing that
// the joining line does is: the room it takes sets others at each other.
func (sc *scan) crowdedOut(j *judging, at int) Limit {
	for i := range j.pairs {
		p := &j.pairs[i]
		if d := j.decisionFor(p.level); d > sc.base.decision && p.first != at && p.second != at {
			return Limit{d, TheTank, sc.joining(j, at, p).Summary}
		}
	}
	return Limit{j.decision, TheTank, j.findings[0].Statement}
}

// isNew reports whether a finding was not there before the line joined: it concerns the
// line, or its code is not among the findings of the list as it stood.
func (sc *scan) isNew(j *judging, at int, f *Finding) bool {
	return slices.Contains(f.Lines, at) || !slices.ContainsFunc(sc.base.findings, func(o Finding) bool {
		return o.Code() == f.Code() && o.Severity == f.Severity
	})
}

// joining explains one pairing of the joining line.
func (sc *scan) joining(j *judging, at int, p *pair) Joining {
	c := j.conditions(p.first, p.second)
	x, y := &j.lines[p.first], &j.lines[p.second]
	out := Joining{With: OwnKind}
	out.Score, out.Summary = sc.book.Model.Brief(x.profile, y.profile, &c)
	if j.moody(p.first, p.second) && p.ordinary != p.value {
		s, _ := sc.book.Model.Brief(x.ordinary, y.ordinary, &c)
		out.SpeciesLevel = &s
	}
	if p.first != p.second {
		other := p.first + p.second - at
		if other > at {
			other--
		}
		out.With = other
	}
	return out
}
