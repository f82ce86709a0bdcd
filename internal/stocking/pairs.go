package stocking

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Pair is one pairing of the list, judged without words.
type Pair struct {
	First, Second int
	at            int     // position in Assessment.Pairs, and in briefs where there are any
	Score         float64 // score of the fish as described
	SpeciesScore  float64 // score without dispositions
	Level         conflict.Level
	SpeciesLevel  conflict.Level
	Existing      bool // it stood among the residents before anyone joined
	Meant         bool // a snail eater that joins pest snails: its level counts as low
}

// judgePairs scores every two lines, and every line of two fish or more among its own.
func (j *Assessment) judgePairs() { j.ScoreWhile(func(*Pair) bool { return true }) }

// ScoreWhile is judgePairs, ended after the first pairing that is not to be followed by more.
func (j *Assessment) ScoreWhile(more func(*Pair) bool) {
	if j.Pairs = j.Pairs[:0]; cap(j.Pairs) < j.PairCount() {
		j.Pairs = make([]Pair, 0, j.PairCount())
	}
	j.eachPair(func(a, b int) bool { return more(j.score(a, b)) })
}

// score scores one pairing and adds it.
func (j *Assessment) score(a, b int) *Pair {
	x, y := &j.Lines[a], &j.Lines[b]
	c := j.Conditions(a, b)
	value := j.ValueOf(x, y, &c)
	ordinary := value
	if j.HasDisposition(a, b) {
		ordinary = j.Value(x.Ordinary, y.Ordinary, &c)
	}
	return j.addPair(a, b, value, ordinary)
}

// briefPairs is judgePairs with band, reason and summary of every pairing.
func (j *Assessment) briefPairs() {
	j.Pairs = make([]Pair, 0, j.PairCount())
	j.briefs = make([]ListPairing, 0, j.PairCount())
	j.eachPair(func(a, b int) bool {
		j.briefs = append(j.briefs, ListPairing{First: a, Second: b, Conditions: j.Conditions(a, b)})
		p := &j.briefs[len(j.briefs)-1]
		x, y := &j.Lines[a], &j.Lines[b]
		p.Score, p.Summary = j.briefOf(x, y, &p.Conditions)
		ordinary := p.Score.Value
		if j.HasDisposition(a, b) {
			s, _ := j.Brief(x.Ordinary, y.Ordinary, &p.Conditions)
			if ordinary = s.Value; ordinary != p.Score.Value {
				p.SpeciesLevel = &s
			}
		}
		scored := j.addPair(a, b, p.Score.Value, ordinary)
		p.Existing, p.Meant = scored.Existing, scored.Meant
		return true
	})
}

// maxShared is the length of a list up to which what two of its lines do to each other is worked
// out once for every tank and every part of the list that is tried.
const maxShared = 40

// meetings are the pairings of lines that are judged again and again. They are not safe for
// concurrent use.
type meetings struct {
	lines int
	known [][]*conflict.Pairwise // by the slots of the second and the first line
	spare []conflict.Pairwise
}

// join is a slot for one more line; 0 where none is left.
func (m *meetings) join() int {
	if m == nil || m.lines >= maxShared {
		return 0
	}
	m.lines++
	return m.lines
}

// of is the pairing of two lines; nil where it is not shared.
func (m *meetings) of(model *conflict.Model, x, y *Resident) *conflict.Pairwise {
	if m == nil || x.slot == 0 || y.slot < x.slot {
		return nil
	}
	for len(m.known) < y.slot {
		m.known = append(m.known, nil)
	}
	row := &m.known[y.slot-1]
	if *row == nil {
		*row = make([]*conflict.Pairwise, y.slot)
	}
	at := &(*row)[x.slot-1]
	if *at == nil {
		if len(m.spare) == 0 {
			m.spare = make([]conflict.Pairwise, m.lines+1)
		}
		*at, m.spare = &m.spare[0], m.spare[1:]
		**at = model.Pairwise(x.Profile, y.Profile)
	}
	return *at
}

// ValueOf is [Assessment.Value] of two lines as described, in the best common water.
func (j *Assessment) ValueOf(x, y *Resident, c *conflict.Conditions) float64 {
	j.Budget.Spend(1)
	return j.valueOf(x, y, c)
}

func (j *Assessment) valueOf(x, y *Resident, c *conflict.Conditions) float64 {
	if p := j.met.of(j.Book.Model, x, y); p != nil {
		return j.Book.Model.ValueIn(p, c)
	}
	return j.Book.Model.Value(x.Profile, y.Profile, c)
}

// briefOf is [Assessment.Brief] of two lines as described, in the best common water.
func (j *Assessment) briefOf(x, y *Resident, c *conflict.Conditions) (conflict.Score, conflict.Statement) {
	if p := j.met.of(j.Book.Model, x, y); p != nil {
		j.Budget.Spend(UnitBrief)
		return j.Book.Model.BriefIn(p, c)
	}
	return j.Brief(x.Profile, y.Profile, c)
}

// Value scores two fish, within the budget.
func (j *Assessment) Value(a, b *conflict.Profile, c *conflict.Conditions) float64 {
	j.Budget.Spend(1)
	return j.Book.Model.Value(a, b, c)
}

// Brief scores two fish with band, reason and summary, within the budget.
func (j *Assessment) Brief(a, b *conflict.Profile, c *conflict.Conditions) (conflict.Score, conflict.Statement) {
	j.Budget.Spend(UnitBrief)
	return j.Book.Model.Brief(a, b, c)
}

func (j *Assessment) PairCount() int { return len(j.Lines) * (len(j.Lines) + 1) / 2 }

// eachPair calls do for the pairings by first, then second line, for as long as it says so and
// somebody waits for the result.
func (j *Assessment) eachPair(do func(a, b int) bool) {
	for a := range j.Lines {
		if j.Budget.Stopped() {
			return
		}
		if j.Lines[a].Fish >= 2 && !do(a, a) {
			return
		}
		for b := a + 1; b < len(j.Lines); b++ {
			if !do(a, b) {
				return
			}
		}
	}
}

// HasDisposition reports whether a disposition was observed on either side.
func (j *Assessment) HasDisposition(a, b int) bool {
	x, y := &j.Lines[a], &j.Lines[b]
	return x.Ordinary != x.Profile || y.Ordinary != y.Profile
}

func (j *Assessment) addPair(a, b int, value, ordinary float64) *Pair {
	p := Pair{
		First: a, Second: b, at: len(j.Pairs), Score: value, SpeciesScore: ordinary,
		Level: j.LevelFor(a, b, value), SpeciesLevel: j.LevelFor(a, b, ordinary), Meant: j.meant(a, b),
	}
	p.Existing = j.stands(a, b, p.Level)
	j.Pairs = append(j.Pairs, p)
	return &j.Pairs[len(j.Pairs)-1]
}

// Conditions are those of a pairing in this list: in a tank with a footprint the
// ground that all other lines defend is added, else each pairing is judged in its own
// customary tank. The water is the best common one: whether the readings suit each kind is
// found for itself, so that water that suits neither is not told as water that differs.
func (j *Assessment) Conditions(a, b int) conflict.Conditions {
	c := ConditionsIn(j.Lines[a].Profile, j.Lines[b].Profile, j.PairTank())
	if j.HasFootprint() {
		others := j.Ground - j.Lines[a].Ground
		if a != b {
			others -= j.Lines[b].Ground
		}
		c.OthersGroundCM2 = max(0, others)
	}
	return c
}

// ConditionsIn are those of two fish alone in a tank, in the best common water.
func ConditionsIn(x, y *conflict.Profile, tank *conflict.Tank) conflict.Conditions {
	c := conflict.ConditionsFor(x, y, tank)
	c.Reading = [species.NumParameters]conflict.Reading{}
	return c
}

// Above reports whether a pairing is above the wanted level.
func (j *Assessment) Above(l conflict.Level) bool { return l > j.Wanted }

// WorstPair is the pairing of the highest score among some, the first of equals; nil for
// none.
func (j *Assessment) WorstPair(among func(*Pair) bool) (worst *Pair) {
	for i := range j.Pairs {
		if p := &j.Pairs[i]; among(p) && (worst == nil || p.Score > worst.Score) {
			worst = p
		}
	}
	return worst
}

// WorstFirst puts the pairings of briefPairs in order, worst first, equals in order of
// line. It moves them within their slice, which is large: where the one that belongs
// at i has been swapped away, the order itself tells where it went.
func (j *Assessment) WorstFirst() []ListPairing {
	order := slices.Clone(j.Pairs)
	slices.SortStableFunc(order, func(a, b Pair) int { return cmp.Compare(b.Score, a.Score) })
	for i := range order {
		from := order[i].at
		for from < i {
			from = order[from].at
		}
		j.briefs[i], j.briefs[from] = j.briefs[from], j.briefs[i]
	}
	return j.briefs
}

// ScoreSome scores the chosen pairings only.
func (j *Assessment) ScoreSome(chosen func(a, b int) bool) {
	j.Pairs = j.Pairs[:0]
	j.ScoreMore(chosen)
}

// ScoreMore scores the chosen pairings beside those that were scored before.
func (j *Assessment) ScoreMore(chosen func(a, b int) bool) {
	j.eachPair(func(a, b int) bool {
		if chosen(a, b) {
			j.score(a, b)
		}
		return true
	})
}

// bisections is enough for the last digits of a ground in cm².
const bisections = 48

// LastBelow finds by bisection the greatest value, of those from low to high, at which
// something is not reached yet that is reached at high and, once reached, stays so.
func LastBelow(low, high float64, reached func(float64) bool) float64 {
	for range bisections {
		if mid := (low + high) / 2; reached(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return low
}

// pestSnails are the snails that come with plants and multiply, and that snail eaters are bought
// against: common practice, no source.
var pestSnails = []species.ID{
	"melanoides-tuberculata", "tarebia-granifera", "physella-acuta", "lymnaea-stagnalis", "planorbella-duryi",
}

// LevelFor is the level of a score of two lines: low where one is bought to eat the other.
func (j *Assessment) LevelFor(a, b int, score float64) conflict.Level {
	l := conflict.LevelOf(score)
	if l > conflict.Low && j.meant(a, b) {
		return conflict.Low
	}
	return l
}

// meant reports whether one line is bought to eat the other: a snail eater that joins pest snails.
// That they are eaten is the purpose, and stands against nobody.
func (j *Assessment) meant(a, b int) bool {
	if j.Together {
		return false
	}
	hunts := func(hunter, prey *Resident) bool {
		return hunter.Incoming && !prey.Incoming && slices.Contains(pestSnails, prey.Species.ID)
	}
	return hunts(&j.Lines[a], &j.Lines[b]) || hunts(&j.Lines[b], &j.Lines[a])
}
