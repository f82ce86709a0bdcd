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
	Borne         bool // it counts as moderate, see [Assessment.borne]
	Settled       bool // readings suit both, and without what they settle it is low
}

// judgePairs scores every two lines, and every line of two fish or more among its own.
func (j *Assessment) judgePairs() { j.ScoreWhile(func(*Pair) bool { return true }) }

// ScoreWhile is judgePairs, ended after the first pairing that is not to be followed by more.
func (j *Assessment) ScoreWhile(more func(*Pair) bool) {
	if j.Pairs = j.Pairs[:0]; cap(j.Pairs) < j.PairCount() {
		j.Pairs = make([]Pair, 0, j.PairCount())
	}
	var c conflict.Conditions
	j.eachPair(func(a, b int) bool { return more(j.score(&c, a, b)) })
}

// score scores one pairing and adds it; c has the conditions of the one before, or none yet.
func (j *Assessment) score(c *conflict.Conditions, a, b int) *Pair {
	x, y := &j.Lines[a], &j.Lines[b]
	if c.LengthCM == 0 || !j.HasFootprint() { // else only the ground of the others differs
		*c = ConditionsIn(x.Profile, y.Profile, j.PairTank())
	}
	j.othersGround(c, a, b)
	value := j.ValueOf(x, y, c)
	ordinary := value
	if j.HasDisposition(a, b) {
		ordinary = j.Value(x.Ordinary, y.Ordinary, c)
	}
	return j.addPair(a, b, value, ordinary)
}

// briefPairs is judgePairs with band, reason and summary of every pairing.
func (j *Assessment) briefPairs() {
	if n := j.PairCount(); len(j.Pairs) > 0 || cap(j.Pairs) < n {
		j.Pairs = make([]Pair, 0, n)
	}
	if n := j.PairCount(); j.briefs == nil || len(j.briefs) > 0 || cap(j.briefs) < n { // never nil
		j.briefs = make([]ListPairing, 0, n)
	}
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
		p.Existing, p.Meant, p.Borne, p.Settled = scored.Existing, scored.Meant, scored.Borne, scored.Settled
		return true
	})
}

// maxShared is the length of a list up to which what two of its lines do to each other is worked
// out once for every tank and every part of the list that is tried.
const maxShared = 40

// meetings are the pairings of lines that are judged again and again. They are not safe for
// concurrent use.
type meetings struct {
	lines    int
	known    []*conflict.Pairwise // by the slots of the second and the first line
	pairwise slab[conflict.Pairwise]
}

// clear leaves none.
func (m *meetings) clear() {
	m.lines, m.known = 0, emptied(m.known)
	m.pairwise.clear()
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
	place := y.slot*(y.slot-1)/2 + x.slot - 1
	if missing := place + 1 - len(m.known); missing > 0 {
		m.known = append(m.known, make([]*conflict.Pairwise, max(missing, m.lines*(m.lines+1)/2-len(m.known)))...)
	}
	at := &m.known[place]
	if *at == nil {
		*at = &m.pairwise.of(1)[:1][0]
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
		Level: j.LevelFor(a, b, value), Meant: j.meant(a, b),
	}
	if p.SpeciesLevel = p.Level; j.HasDisposition(a, b) {
		p.SpeciesLevel = j.levelOf(j.Tank, a, b, j.Lines[a].Ordinary, j.Lines[b].Ordinary, ordinary)
	}
	p.Borne = p.Level == conflict.Moderate && conflict.LevelOf(value) > conflict.Moderate
	p.Settled = p.Level == conflict.Low && !p.Meant && conflict.LevelOf(value) > conflict.Low
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
	j.othersGround(&c, a, b)
	return c
}

// othersGround adds the ground that all other lines defend, where the tank has a footprint.
func (j *Assessment) othersGround(c *conflict.Conditions, a, b int) {
	if j.HasFootprint() {
		others := j.Ground - j.Lines[a].Ground
		if a != b {
			others -= j.Lines[b].Ground
		}
		c.OthersGroundCM2 = max(0, others)
	}
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
	var c conflict.Conditions
	j.eachPair(func(a, b int) bool {
		if chosen(a, b) {
			j.score(&c, a, b)
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

// LevelFor is the level of a score of two lines as it counts: low where one is bought to eat the other, moderate
// where what is eaten is borne, and low where readings settle what made it moderate.
func (j *Assessment) LevelFor(a, b int, score float64) conflict.Level {
	return j.LevelIn(j.Tank, a, b, score)
}

// LevelIn is [Assessment.LevelFor] in another tank.
func (j *Assessment) LevelIn(tank *Tank, a, b int, score float64) conflict.Level {
	return j.levelOf(tank, a, b, j.Lines[a].Profile, j.Lines[b].Profile, score)
}

// levelOf is [Assessment.LevelIn] for the fish of two lines as they were observed, or as they ordinarily are.
func (j *Assessment) levelOf(tank *Tank, a, b int, x, y *conflict.Profile, score float64) conflict.Level {
	l := conflict.LevelOf(score)
	switch {
	case l == conflict.Low:
	case j.meant(a, b), l == conflict.Moderate && j.settles(tank, x, y, score):
		return conflict.Low
	case l > conflict.Moderate && j.borne(a, b, l) && j.atMostModerateUneaten(x, y, score):
		return conflict.Moderate
	}
	return l
}

// AtBest is the lowest level that a score of two lines may count as once readings suit both and numbers are right.
func (j *Assessment) AtBest(a, b int, score float64) conflict.Level {
	l := j.LevelFor(a, b, score)
	x, y := j.Lines[a].Species, j.Lines[b].Species
	var could [species.NumParameters]bool
	for p := range could {
		_, could[p] = x.Water[p].Preferred.Intersect(y.Water[p].Preferred)
	}
	switch {
	case l == conflict.High && (picksAt(&j.Lines[a], &j.Lines[b]) || picksAt(&j.Lines[b], &j.Lines[a])):
		return conflict.Moderate
	case l == conflict.Moderate && j.lowWithout(&could, j.Lines[a].Profile, j.Lines[b].Profile, score):
		return conflict.Low
	}
	return l
}

// LeastFor is the lowest level that a pairing of a level with a species that joins may count as, whichever line of the list it is
// with: what [Assessment.LevelFor] may make of it.
func (j *Assessment) LeastFor(joining *species.Species, l conflict.Level) conflict.Level {
	switch {
	case l == conflict.Moderate && j.Tank.measured():
		return conflict.Low
	case l <= conflict.Moderate:
	case !j.Together && slices.ContainsFunc(j.Lines, func(r Resident) bool { return r.Incoming && pest(r.Species) != pest(joining) }):
		return conflict.Moderate
	case l == conflict.High && (isShrimp(joining) || slices.ContainsFunc(j.Lines, func(r Resident) bool { return isShrimp(r.Species) })):
		return conflict.Moderate
	}
	return l
}

// FeedsJoiners reports a line that whatever joins may be bought to eat.
func (j *Assessment) FeedsJoiners(line int) bool {
	r := &j.Lines[line]
	return !j.Together && !r.Incoming && pest(r.Species)
}

// measured reports a tank of which any reading is known.
func (t *Tank) measured() bool {
	return t != nil && slices.ContainsFunc(t.Reading[:], func(r conflict.Reading) bool { return r.Known })
}

// settles reports whether readings that suit both of two lines take away what makes their pairing moderate: that
// kinds share little of a parameter is no matter in a tank that is known to be right for each.
func (j *Assessment) settles(tank *Tank, x, y *conflict.Profile, score float64) bool {
	settled, any := tank.suits(x.Species, y.Species)
	return any && j.lowWithout(&settled, x, y, score)
}

// lowWithout reports whether a score is low without what some parameters of the water add to it.
func (j *Assessment) lowWithout(settled *[species.NumParameters]bool, x, y *conflict.Profile, score float64) bool {
	relief := j.Book.Model.WaterRelief(x, y, settled)
	return relief > 0 && conflict.LevelOf(conflict.Relieved(score, relief)) == conflict.Low
}

// suits are the parameters of which the tank has a reading that both prefer; any is false for none.
func (t *Tank) suits(x, y *species.Species) (settled [species.NumParameters]bool, any bool) {
	if t == nil {
		return settled, false
	}
	for p := range settled {
		wx, wy := &x.Water[p], &y.Water[p]
		r := t.Reading[p]
		settled[p] = r.Known && wx.Known() && wy.Known() && wx.Preferred.Contains(r.Value) && wy.Preferred.Contains(r.Value)
		any = any || settled[p]
	}
	return settled, any
}

// meant reports whether one line is bought to eat the other: a snail eater that joins pest snails.
// That they are eaten is the purpose, and stands against nobody.
func (j *Assessment) meant(a, b int) bool {
	x, y := &j.Lines[a], &j.Lines[b]
	return x.Incoming && j.FeedsJoiners(b) || y.Incoming && j.FeedsJoiners(a)
}

// What a small fish or two take of dwarf shrimps: the young, and some a grown one now and then. Common practice, no source.
const (
	// fewPickers is the most fish of such a kind, and pickerLength the adult length in cm up to which they do not
	// empty a tank of shrimps.
	fewPickers, pickerLength = 2, 8.0
	// dwarfShrimp is the adult length in cm up to which shrimps breed faster than that in any tank.
	dwarfShrimp = 3.5
)

// borne reports a pairing above moderate that counts as moderate, for keepers ask for no more than a word about it:
// pest snails bought with what may be meant to eat them; dwarf shrimps beside a small fish or two.
func (j *Assessment) borne(a, b int, l conflict.Level) bool {
	x, y := &j.Lines[a], &j.Lines[b]
	return j.perhapsMeant(a, b) || l == conflict.High &&
		(y.Company <= fewPickers && picksAt(x, y) || x.Company <= fewPickers && picksAt(y, x))
}

// atMostModerateUneaten reports a score of two lines that nothing but what is eaten raises above moderate.
func (j *Assessment) atMostModerateUneaten(x, y *conflict.Profile, score float64) bool {
	c := conflict.ConditionsFor(x, y, nil) // being eaten depends on no tank
	eaten := j.Book.Model.CausesOf(x, y, &c).By[conflict.Predation]
	return conflict.LevelOf(conflict.Relieved(score, eaten)) <= conflict.Moderate
}

// picksAt reports a small fish that is no hunter of fish, and dwarf shrimps.
func picksAt(shrimps, fish *Resident) bool {
	return isShrimp(shrimps.Species) && shrimps.typical(species.Length, 0) <= dwarfShrimp &&
		!fish.Species.BodyForm.Invertebrate() && fish.Species.Guild != species.Piscivore && fish.typical(species.Length, 0) <= pickerLength
}

func isShrimp(sp *species.Species) bool { return sp.BodyForm == species.ShrimpForm }

// perhapsMeant reports pest snails that are bought with another kind, perhaps as its food.
func (j *Assessment) perhapsMeant(a, b int) bool {
	x, y := &j.Lines[a], &j.Lines[b]
	return !j.Together && x.Incoming && y.Incoming && pest(x.Species) != pest(y.Species)
}

func pest(sp *species.Species) bool { return slices.Contains(pestSnails, sp.ID) }
