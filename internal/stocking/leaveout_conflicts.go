package stocking

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking/graph"
	"commensal/internal/stocking/leaveout"
	"commensal/internal/waterchem"
)

// broken is a set of lines that cannot all stay when only out is left out; nil when the
// rest fits. Lines that must stay anyway never break on their own account: that is
// reported as pinned.
func (c *leaveOutSolver) broken(out graph.Set) []int {
	ground := 0.0
	for i := range c.Lines {
		if !out.Has(i) {
			ground += c.Lines[i].Ground
		}
	}
	for _, p := range c.soft {
		if out.Has(p.First) || out.Has(p.Second) {
			continue
		}
		others := ground - c.Lines[p.First].Ground
		if p.First != p.Second {
			others -= c.Lines[p.Second].Ground
		}
		if c.Above(c.levelWith(p, others)) || c.soonWithout(p, out) {
			return c.crowders(p, out)
		}
	}
	if c.heavy && c.burden.Heavy(out) {
		return c.heaviest(out)
	}
	return nil
}

// crowders are a broken pairing's own lines, then the others by the ground they take.
func (c *leaveOutSolver) crowders(p Pair, out graph.Set) []int {
	lines := c.staying(out, p.First, p.Second)
	slices.SortStableFunc(lines, func(a, b int) int { return compareDescending(c.Lines[a].Ground, c.Lines[b].Ground) })
	if p.First != p.Second {
		lines = append([]int{p.Second}, lines...)
	}
	return append([]int{p.First}, lines...)
}

// heaviest are the staying lines by their mass.
func (c *leaveOutSolver) heaviest(out graph.Set) []int {
	lines := c.staying(out, -1, -1)
	mass := func(i int) float64 { return c.Lines[i].Mass.Typical * float64(c.Lines[i].Fish) }
	slices.SortStableFunc(lines, func(a, b int) int { return compareDescending(mass(a), mass(b)) })
	return lines
}

func (c *leaveOutSolver) staying(out graph.Set, except, and int) (lines []int) {
	for i := range c.Lines {
		if !out.Has(i) && i != except && i != and {
			lines = append(lines, i)
		}
	}
	return lines
}

func compareDescending(a, b float64) int {
	switch {
	case a > b:
		return -1
	case a < b:
		return 1
	}
	return 0
}

// blockedByPins names what keeps any set from clearing the soft conflicts.
func (c *leaveOutSolver) blockedByPins() {
	var out graph.Set
	for i := range c.Lines {
		if !c.pinned.Has(i) {
			out.Add(i)
		}
	}
	for _, p := range c.soft {
		if !out.Has(p.First) && !out.Has(p.Second) {
			c.out.Pinned = append(c.out.Pinned, PinnedConflict{p.First, p.Second, c.pairReason(p)})
		}
	}
	if c.heavy && c.burden.Heavy(out) {
		first := c.staying(out, -1, -1)[0]
		c.out.Pinned = append(c.out.Pinned, PinnedConflict{first, first, c.stopReason(LoadTooHeavy)})
	}
}

// soonAlone reports whether a pairing comes above the wanted level soon even without any
// other line beside it.
func (c *leaveOutSolver) soonAlone(p Pair) bool {
	var out graph.Set
	for i := range c.Lines {
		if i != p.First && i != p.Second {
			out.Add(i)
		}
	}
	return c.soonWithout(p, out)
}

// soonWithout reports whether a pairing comes above the wanted level soon when some lines
// are left out.
func (c *leaveOutSolver) soonWithout(p Pair, out graph.Set) bool {
	return c.future != nil && c.future.without(out).soon(&p)
}

// aheadReason is the finding about a pairing that is soon in conflict.
func (c *leaveOutSolver) aheadReason(p Pair) (s conflict.Statement, ok bool) {
	for i := range c.Findings {
		f := &c.Findings[i]
		if IsAhead(f.Code()) && f.Lines[0] == p.First && f.Lines[len(f.Lines)-1] == p.Second {
			return f.Statement, true
		}
	}
	return s, false
}

// burdenOf reads what each line adds to a load that no weekly water change can hold: its part of the
// weekly rise of nitrate in mg/L, which is in proportion to the feed, the feed to the resting
// metabolism, and that to mass^0.79 at one temperature (see package waterchem). ok is false unless
// that load is too heavy.
func (c *leaveOutSolver) burdenOf() (b leaveout.Burden, ok bool) {
	l := c.Load
	if l == nil || l.Nitrate == nil || l.Nitrate.Holds[1] {
		return b, false
	}
	b = leaveout.Burden{Part: make([]float64, len(c.Lines)), Room: max(0, NitrateCeiling-l.Nitrate.Source), Weight: c.weight}
	sum := 0.0
	for i := range c.Lines {
		b.Part[i] = float64(c.Lines[i].Fish) * math.Pow(c.Lines[i].Mass.Typical, waterchem.MassExponent)
		sum += b.Part[i]
	}
	for i := range b.Part {
		b.Part[i] *= l.Nitrate.WeeklyRise.Typical / sum
	}
	if l.TemperatureTaken {
		b.Warmth, b.Ranged = c.warmth()
	}
	b.Prepare()
	return b, true
}

// warmth are the factors for a list without a temperature reading, which is as
// warm as its warmest line likes it, and which lines have a range.
func (c *leaveOutSolver) warmth() (factor []float64, ranged []bool) {
	factor, ranged = make([]float64, len(c.Lines)), make([]bool, len(c.Lines))
	base, _ := waterchem.RestingRate(1, c.Load.TemperatureC)
	for i := range c.Lines {
		celsius := ordinaryTemperature
		if w := &c.Lines[i].Species.Water[species.Temperature]; w.Known() {
			celsius, ranged[i] = (w.Preferred.Low+w.Preferred.High)/2, true
		}
		if rate, err := waterchem.RestingRate(1, min(max(celsius, 0), 40)); err == nil && base > 0 {
			factor[i] = rate / base
		}
	}
	return factor, ranged
}

// reasons gives for each line left out what it would clash with among those that stay.
func (c *leaveOutSolver) reasons(set []int) []LeftOut {
	out := graph.SetOf(set...)
	left := make([]LeftOut, len(set))
	for i, line := range set {
		left[i] = c.reason(line, out)
	}
	return left
}

// reason is a stop of the line's own, else its worst clash: with its own kind or with a
// line that stays, else that the others need its room.
func (c *leaveOutSolver) reason(line int, out graph.Set) LeftOut {
	for i := range c.Findings {
		f := &c.Findings[i]
		if f.Severity == Stop && f.Code() != NoSharedWater && !IsAhead(f.Code()) && slices.Contains(f.Lines, line) {
			return LeftOut{line, -1, f.Statement}
		}
	}
	if p := c.WorstPair(func(p *Pair) bool { return c.blames(p, line, out) }); p != nil {
		return LeftOut{line, p.First + p.Second - line, c.pairReason(*p)}
	}
	if c.heavy {
		return LeftOut{line, -1, c.stopReason(LoadTooHeavy)}
	}
	return LeftOut{line, -1, conflict.Statement{Code: ReasonMakesRoom, Actor: c.Lines[line].Species}}
}

// blames reports whether a pairing speaks against the line beside those that stay.
func (c *leaveOutSolver) blames(p *Pair, line int, out graph.Set) bool {
	if p.First != line && p.Second != line {
		return false
	}
	other := p.First + p.Second - line
	if other != line && out.Has(other) {
		return false
	}
	return c.Above(p.Level) || c.future.soon(p) || (len(c.apart) > 0 && WatersApart(c.Lines[p.First].Species, c.Lines[p.Second].Species))
}

// pairReason is the summary of a pairing above the wanted level, else that the two have
// no water in common.
func (c *leaveOutSolver) pairReason(p Pair) conflict.Statement {
	a, b := &c.Lines[p.First], &c.Lines[p.Second]
	if c.Above(p.Level) {
		return c.PairSummary(p)
	}
	if s, ok := c.aheadReason(p); ok {
		return s
	}
	s := conflict.Statement{Code: ReasonWaterApart, Actor: a.Species, Other: b.Species}
	for w := range species.Parameter(species.NumParameters) {
		wa, wb := &a.Species.Water[w], &b.Species.Water[w]
		if _, ok := wa.Tolerated.Intersect(wb.Tolerated); wa.Known() && wb.Known() && !ok {
			s.Words = []conflict.WordCode{ParameterWord[w]}
			break
		}
	}
	return s
}

// stopReason is the statement of a finding that is a stop.
func (c *leaveOutSolver) stopReason(code Code) (s conflict.Statement) {
	for i := range c.Findings {
		if c.Findings[i].Code() == code {
			return c.Findings[i].Statement
		}
	}
	return s
}
