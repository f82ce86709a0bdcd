package remedies

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// fixed are the pairings that stay above the target even in the kindest tank and without
// the others, as pairs of lines: each takes one of its lines left out or separated.
func (m *planner) fixed() (out [][2]int) {
	for i := range m.check.Pairings {
		p := &m.check.Pairings[i]
		if m.base.DecisionOnListed(p) <= m.target || (p.First == p.Second && m.counted(p.First)) {
			continue
		}
		m.work++
		if m.base.DecisionFor(m.kindest(p.First, p.Second)) > m.target && !p.Existing {
			out = append(out, [2]int{p.First, p.Second})
		}
	}
	return out
}

// useful are the candidates that can be enough, alone or with one other: what a change
// leaves of the fixed pairings must be met by one more line that goes.
func (m *planner) useful() (out []*candidate) {
	fixed := m.fixed()
	for i := range m.candidates {
		c := &m.candidates[i]
		gone := -1
		if c.Kind == stocking.LeaveLineOut || c.Kind == stocking.Separate {
			gone = c.Line
		}
		if oneLineMeets(fixed, gone) {
			out = append(out, c)
		}
	}
	return out
}

// oneLineMeets reports whether, with one line gone, a single other line is in every pair
// that is left.
func oneLineMeets(pairs [][2]int, gone int) bool {
	first := -1
	for i, p := range pairs {
		if p[0] != gone && p[1] != gone {
			first = i
			break
		}
	}
	if first < 0 {
		return true
	}
	return inEach(pairs[first:], pairs[first][0], gone) || inEach(pairs[first:], pairs[first][1], gone)
}

func inEach(pairs [][2]int, line, gone int) bool {
	for _, p := range pairs {
		if p[0] != line && p[1] != line && p[0] != gone && p[1] != gone {
			return false
		}
	}
	return true
}

// manyFish is a shoal that lacks no company, of which one fish takes hardly any ground.
const manyFish = 1_000_000

// kindest is the level of a pairing of one fish each out of large shoals, in the roomiest
// tank there is to choose, with the densest cover, the best water for the two and no one
// else. No change to the tank, to other lines or to numbers brings it lower: a score
// never rises with footprint, cover or company, nor falls with the ground defended.
func (m *planner) kindest(first, second int) conflict.Level {
	at := [2]int{first, second}
	l, ok := m.kindly[at]
	if !ok {
		l = m.base.AtBest(first, second, m.kindestOf(m.alone(first), m.alone(second)))
		m.kindly[at] = l
	}
	return l
}

// alone is one fish of a line out of a large shoal.
func (m *planner) alone(line int) *conflict.Profile {
	if m.single[line] == nil {
		m.single[line] = m.base.Lines[line].Profile.InNumbers(1, manyFish)
	}
	return m.single[line]
}

func (m *planner) kindestOf(a, b *conflict.Profile) float64 {
	c := stocking.ConditionsIn(a, b, m.base.PairTank())
	c.Reading = conflict.Conditions{}.Reading
	if m.base.Tank != nil {
		c.Cover = max(c.Cover, fullCover)
	}
	if m.base.HasFootprint() {
		for _, size := range conflict.StandardTanks {
			c.LengthCM, c.WidthCM = max(c.LengthCM, size.LengthCM), max(c.WidthCM, size.WidthCM)
		}
	}
	return m.base.Value(a, b, &c)
}

// counted reports whether some candidate leaves fewer fish in the line, perhaps one that
// has none of its own kind left to fight.
func (m *planner) counted(line int) bool {
	for i := range m.candidates {
		if c := &m.candidates[i]; c.Kind == stocking.ReduceGroup && c.Line == line {
			return true
		}
	}
	return false
}
