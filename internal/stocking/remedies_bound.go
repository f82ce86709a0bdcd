package stocking

import "commensal/internal/conflict"

// hopeless reports that no two changes can be enough, without trying any: at least three
// pairings, no line in two of them, stay above the target even in the kindest tank and
// without the others. Each takes a line left out or separated of its own.
func (m *mender) hopeless() bool {
	const enough = 3
	taken := make([]bool, len(m.base.lines))
	apart := 0
	for i := range m.check.Pairings {
		p := &m.check.Pairings[i]
		if taken[p.First] || taken[p.Second] || m.base.decisionFor(p.Score.Level) <= m.target {
			continue
		}
		m.work++
		if (p.First == p.Second && m.counted(p.First)) || m.base.decisionFor(m.kindest(p.First, p.Second)) <= m.target {
			continue
		}
		taken[p.First], taken[p.Second] = true, true
		if apart++; apart == enough {
			return true
		}
	}
	return false
}

// manyFish is a shoal that lacks no company, of which one fish takes hardly any ground.
const manyFish = 1_000_000

// kindest is the level of a pairing of one fish each out of large shoals, in the roomiest
// tank there is to choose, with the densest cover, the best water for the two and no one
// else. No change to the tank, to other lines or to numbers brings it lower: a score
// never rises with footprint, cover or company, nor falls with the ground defended.
func (m *mender) kindest(first, second int) conflict.Level {
	a := m.base.lines[first].profile.InNumbers(1, manyFish)
	b := a
	if first != second {
		b = m.base.lines[second].profile.InNumbers(1, manyFish)
	}
	c := conflict.ConditionsFor(a, b, m.base.pairTank())
	c.Reading = conflict.Conditions{}.Reading
	if m.base.tank != nil {
		c.Cover = max(c.Cover, fullCover)
	}
	if m.base.hasFootprint() {
		for _, size := range conflict.StandardTanks {
			c.LengthCM, c.WidthCM = max(c.LengthCM, size.LengthCM), max(c.WidthCM, size.WidthCM)
		}
	}
	return conflict.LevelOf(m.book.Model.Value(a, b, &c))
}

// counted reports whether some candidate leaves fewer fish in the line, perhaps one that
// has none of its own kind left to fight.
func (m *mender) counted(line int) bool {
	for i := range m.candidates {
		if c := &m.candidates[i]; c.Kind == ReduceGroup && c.Line == line {
			return true
		}
	}
	return false
}
