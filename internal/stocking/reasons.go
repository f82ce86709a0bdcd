package stocking

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking/graph"
)

// HoldReason is why a judged group is a hold, as it concerns some of its lines (none for
// any): the worst pairing above the wanted level, else a stop, else crowding. With is a
// position in the group, OwnKind or TheTank.
func (j *Assessment) HoldReason(mine graph.Set) (with int, reason conflict.Statement) {
	if p := j.WorstPair(func(p *Pair) bool { return concerns(mine, p.First, p.Second) && j.Above(p.Level) }); p != nil {
		return j.against(mine, p.First, p.Second), j.PairSummary(*p)
	}
	f := j.chiefFinding(mine)
	if f == nil {
		return TheTank, conflict.Statement{Code: ReasonMakesRoom, Actor: j.Lines[max(mine.Next(0), 0)].Species}
	}
	if pairwise := f.Code() == NoSharedWater || IsAhead(f.Code()); pairwise {
		return j.against(mine, f.Lines[0], f.Lines[len(f.Lines)-1]), f.Statement
	}
	return TheTank, f.Statement
}

// ChiefRemark is what is most to be said of some lines in a tank that is not on hold: their
// worst pairing that is not low, else advice about them, else that nothing speaks against
// them.
func (j *Assessment) ChiefRemark(mine graph.Set) (with int, s conflict.Statement) {
	if p := j.WorstPair(func(p *Pair) bool { return concerns(mine, p.First, p.Second) && j.DecisionFor(p.Level) == Advise }); p != nil {
		return j.against(mine, p.First, p.Second), j.PairSummary(*p)
	}
	for i := range j.Findings {
		if f := &j.Findings[i]; f.Severity == Advice && len(f.Lines) > 0 && concerns(mine, f.Lines...) {
			return TheTank, f.Statement
		}
	}
	return TheTank, conflict.Statement{Code: SummaryFineSingle, Actor: j.Lines[max(mine.Next(0), 0)].Species}
}

// concerns reports whether any of some lines is among mine, or mine is empty.
func concerns(mine graph.Set, lines ...int) bool {
	return mine.Empty() || mine.Meets(graph.SetOf(lines...))
}

// against is who a pairing of a group stands between, as seen from some of its lines.
func (j *Assessment) against(mine graph.Set, first, second int) int {
	switch {
	case mine.Empty() || j.Lines[first].Kind == j.Lines[second].Kind:
		return OwnKind
	case mine.Has(first):
		return second
	}
	return first
}

// chiefFinding is the first stop that concerns some lines, else any stop, else what says
// that the tank is crowded; nil where there is none.
func (j *Assessment) chiefFinding(mine graph.Set) (chief *Finding) {
	for i := range j.Findings {
		f := &j.Findings[i]
		if f.Severity != Stop {
			break
		}
		if chief == nil {
			chief = f
		}
		if concerns(mine, f.Lines...) {
			return f
		}
	}
	for i := 0; chief == nil && i < len(j.Findings); i++ {
		switch f := &j.Findings[i]; f.Code() {
		case GroundCrowded, ZoneCrowded, TankCrowded:
			chief = f
		}
	}
	return chief
}

// PairSummary is the summary of a pairing, also where the list was judged without words.
func (j *Assessment) PairSummary(p Pair) conflict.Statement {
	if j.briefs != nil {
		return j.briefs[p.at].Summary
	}
	c := j.Conditions(p.First, p.Second)
	_, summary := j.briefOf(&j.Lines[p.First], &j.Lines[p.Second], &c)
	return summary
}

// Who or what stands against a line, where it is not another line.
const (
	OwnKind = -1 // its own kind
	TheTank = -2 // the tank, the water or the list as a whole
)

// Limit is a reason why something does not fit.
type Limit struct {
	Decision  Decision // what the reason alone leads to
	With      int      // position in the list's lines, OwnKind or TheTank
	Statement conflict.Statement
}

// The codes of pairings as findings, by their main reason.
var pairingCode = [conflict.NumReasons]Code{
	conflict.Predation: "predation", conflict.Aggression: "aggression", conflict.FinNipping: "fin_nipping",
	conflict.Water: "water_differs", conflict.FeedingClash: "feeding_clash", conflict.OwnKind: "own_kind",
	conflict.Hybridisation: "hybridisation", conflict.Room: "too_little_room",
}

// MeantToBeEaten is the code of a pairing of a snail eater with the pest snails it is bought against, or that are
// perhaps bought as its food. AsFood is the sentence that asks whether they are.
const (
	MeantToBeEaten Code = "meant_to_be_eaten"
	AsFood         Code = "summary.as_food"
)

// PairingCodes are the codes of pairings as findings.
func PairingCodes() (out []Code) {
	for _, code := range pairingCode {
		if code != "" {
			out = append(out, code)
		}
	}
	return append(out, MeantToBeEaten)
}

// Told are the findings as they are told: the pairings among them, like ones merged, without
// what would nag or contradict, the gravest first. It reads the briefs in the order of the pairs.
func (j *Assessment) Told() []Finding { return j.told(j.briefs) }

// told are the findings as they are told, with the pairings that have briefs, in the order of the pairs.
func (j *Assessment) told(briefs []ListPairing) []Finding {
	on := j.onSlate()
	t := teller{Assessment: j, held: j.heldKinds(), cramped: j.cramped(), out: on.take(len(briefs) + len(j.Findings))}
	for i := range briefs {
		if i%lookUpEvery == 0 && j.Budget.Stopped() {
			break // nobody is told
		}
		t.pairing(&briefs[i])
	}
	for i := range j.Findings {
		t.finding(&j.Findings[i])
	}
	out := on.gravestFirst(t.out)
	on.put(t.out)
	t.out = out
	t.oneTank()
	for i := range t.out {
		t.out[i].Kinds = t.kindsOf(t.out[i].Lines)
	}
	return t.out
}

// gravestFirst is what is told in the order in which it is told.
func (on *Slate) gravestFirst(told []Finding) []Finding {
	on.ranks = on.ranks[:0]
	for i := range told {
		on.ranks = append(on.ranks, rankOf(&told[i], i))
	}
	slices.SortFunc(on.ranks, compareRanks)
	out := on.findings.of(len(told))
	for i := range on.ranks {
		out = append(out, told[on.ranks[i].at])
	}
	return out
}

// teller gathers what is told.
type teller struct {
	*Assessment
	held []bool // by first line: kinds that are held for something
	// cramped is how gravely it is told already that a tank is too small for a kind.
	cramped []crampedKind
	out     []Finding
}

// crampedKind is how gravely it is told of a kind that a tank is too small for it, among what stood before or not.
type crampedKind struct {
	species  *species.Species
	existing bool
	told     Severity
}

// cramped are the kinds for which findings say that the tank is too small, the gravest among them.
func (j *Assessment) cramped() (said []crampedKind) {
	for i := range j.Findings {
		if f := &j.Findings[i]; isTankSize(f.Code()) && len(f.Lines) > 0 {
			said = append(said, crampedKind{j.Lines[f.Lines[0]].Species, f.Existing, f.Severity})
		}
	}
	return said
}

// lookUpEvery is after how many pairings it is looked whether anybody waits still.
const lookUpEvery = 256

// rank is where a finding is told.
type rank struct {
	order int // by severity, by whether it stood before, and by code
	score float64
	at    int // where it was found
}

// rankOf puts the gravest first, what stood before last, and among equals what comes first in
// [placeOf]; pairings of one place the worst first.
func rankOf(f *Finding, at int) rank {
	order := int(Stop-f.Severity) * 2
	if f.Existing {
		order++
	}
	return rank{order*places + placeOf[f.Code()], f.Score, at}
}

func compareRanks(a, b rank) int {
	if a.order != b.order {
		return cmp.Compare(a.order, b.order)
	}
	return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(a.at, b.at))
}

// The places of findings among those of one severity: what is forbidden or endangers people, then what harms
// animals soonest.
const (
	placePeople  = iota // forbidden, or a danger to people
	placeWorld          // animals that live in another world than fresh water, or hunt what lives there
	placeHarm           // one animal eats, injures or wears out another: the worst pairing first
	placeWater          // water in which an animal cannot live
	placeRoom           // a tank in which an animal cannot grow up
	placeLater          // harm in some months
	placeCrowd          // too many for the tank, or too soon
	placeCompany        // numbers, sexes, food, crossing, and what could not be looked up
	placeCare           // readings, flow and furnishing
	placeRemark         // to know
	places              // how many there are
)

// placeOf is where each code that a finding may have stands: the one order of reasons.
var placeOf = map[Code]int{
	LawForbids: placePeople, LawPermit: placePeople, LawUnknown: placePeople, DangerousUnseen: placePeople,

	GoodCode(species.GoodTurtle): placeWorld, GoodCode(species.GoodMarine): placeWorld, GoodCode(species.GoodFrog): placeWorld,
	GoodCode(species.GoodSalamand): placeWorld, GoodCode(species.GoodReptile): placeWorld, GoodCode(species.GoodInsect): placeWorld,

	pairingCode[conflict.Predation]: placeHarm, pairingCode[conflict.Aggression]: placeHarm, pairingCode[conflict.FinNipping]: placeHarm,
	pairingCode[conflict.OwnKind]: placeHarm, YoungConflict: placeHarm, YoungOwnKind: placeHarm, SolitaryInNumbers: placeHarm,

	NoSharedWater: placeWater, pairingCode[conflict.Water]: placeWater, OutsideTolerated: placeWater, SwungOutside: placeWater,

	TankTooShort: placeRoom, FootprintTooSmall: placeRoom, TankTooLow: placeRoom, pairingCode[conflict.Room]: placeRoom,
	GiantUnhoused: placeRoom, TankAsked: placeRoom,

	LaterConflict: placeLater, LaterOwnKind: placeLater, GrownConflict: placeLater, GrownOwnKind: placeLater,

	GroundCrowded: placeCrowd, ZoneCrowded: placeCrowd, TankCrowded: placeCrowd, LoadTooHeavy: placeCrowd, LoadHeavy: placeCrowd,
	OxygenThin: placeCrowd, FilterImmature: placeCrowd,

	SexesWrong: placeCompany, GroupTooSmall: placeCompany, SexRatio: placeCompany, NameNotFound: placeCompany,
	pairingCode[conflict.FeedingClash]: placeCompany, pairingCode[conflict.Hybridisation]: placeCompany, Hybrids: placeCompany,

	OutsidePreferred: placeCare, WaterSwings: placeCare, TurnoverLow: placeCare, NoWaterChange: placeCare, NitrateHigh: placeCare,
	MatureTankNeeded: placeCare, FlowTooStrong: placeCare, FlowTooWeak: placeCare, CoverThin: placeCare, SandNeeded: placeCare, LidNeeded: placeCare,
	LandNeeded: placeWater, SaltNeeded: placeWater,

	MeantToBeEaten: placeRemark, GroupBelowCustom: placeRemark, SexNotTold: placeRemark, FryExpected: placeRemark, PlantsEaten: placeRemark,
	LongCommitment: placeRemark, LongerThanRecorded: placeRemark, AgeAgainstLength: placeRemark, HeavyTank: placeRemark,
	FootprintUnknown: placeRemark, VolumeUnknown: placeRemark,
	GoodCode(species.GoodPlant): placeRemark, GoodCode(species.GoodHardscape): placeRemark, GoodCode(species.GoodFood): placeRemark,
	GoodCode(species.GoodMedicine): placeRemark, GoodCode(species.GoodEquipment): placeRemark,
}

// IsBetween reports a finding that is about two animals of the list and not about their tank: a pairing, today or
// as they grow, but for one that only lacks room.
func IsBetween(f *Finding) bool {
	return len(f.Lines) == 2 && (IsAhead(f.Code()) || f.As != "" && f.Code() != pairingCode[conflict.Room])
}

// PlaceOf is where a code stands among those of one severity, from 0; ok is false for a code that no finding has.
func PlaceOf(c Code) (place int, ok bool) {
	place, ok = placeOf[c]
	return place, ok
}

// heldKinds are the kinds that a stop or a pairing above the wanted level concerns, by first line.
func (j *Assessment) heldKinds() []bool {
	held := make([]bool, len(j.Lines))
	for i := range j.Findings {
		f := &j.Findings[i]
		for _, l := range f.Lines {
			held[j.Lines[l].Kind] = held[j.Lines[l].Kind] || f.Severity == Stop && !f.Existing
		}
	}
	for i := range j.Pairs {
		if p := &j.Pairs[i]; j.DecisionOn(p) == Hold {
			held[j.Lines[p.First].Kind], held[j.Lines[p.Second].Kind] = true, true
		}
	}
	return held
}

// pairing tells a pairing that is not low, one that is meant, and one that readings settle: both are a note.
func (t *teller) pairing(p *ListPairing) {
	on := t.onSlate()
	lines := on.numbers.kept(p.First, p.Second)
	if p.First == p.Second {
		lines = lines[:1]
	}
	f := Finding{Statement: p.Summary, Existing: p.Existing, Lines: lines, Score: p.Score.Value}
	f.As = pairingCode[p.Score.Reason]
	switch {
	case p.Meant:
		f.As = MeantToBeEaten
	case p.Settled:
	case p.Score.Level == conflict.Low:
		return
	case p.Borne && p.Score.Reason == conflict.Predation && t.perhapsMeant(p.First, p.Second):
		f.As, f.Statement.Code = MeantToBeEaten, AsFood
	}
	switch level := p.Counts(); {
	case t.Above(level):
		f.Severity = Stop
	case level > conflict.Low:
		f.Severity = Advice
	}
	f.Statement.Evidence = append(append(on.evidence.of(len(f.Statement.Evidence)+1), f.Statement.Evidence...), conflict.Evidence{Name: "score", Value: p.Score.Value})
	if p.Score.Reason != conflict.Room {
		t.out = append(t.out, f)
		return
	}
	t.room(f)
}

// room tells that a tank is too small for a pairing once for each kind, and not beside a finding
// that says so of the tank.
func (t *teller) room(f Finding) {
	for _, said := range t.cramped {
		if said.species == f.Statement.Actor && said.existing == f.Existing && said.told >= f.Severity {
			return
		}
	}
	t.cramped = append(t.cramped, crampedKind{f.Statement.Actor, f.Existing, f.Severity})
	t.out = append(t.out, f)
}

// isTankSize reports the codes that say that the tank is too small for a kind.
func isTankSize(c Code) bool { return c == TankTooShort || c == FootprintTooSmall || c == TankTooLow }

// finding tells a finding, unless it nags, merged with one like it.
func (t *teller) finding(f *Finding) {
	if t.nags(f) {
		return
	}
	out := *f
	if out.Postpones {
		out.Severity = Stop
	}
	if out.Remedy != nil && moreFish(f) && (t.Crowded() || t.tooSmallFor(f)) {
		out.Remedy = nil
	}
	if like := t.like(&out); like != nil {
		like.Lines = append(append(t.onSlate().numbers.of(len(like.Lines)+len(out.Lines)), like.Lines...), out.Lines...)
		slices.Sort(like.Lines)
		return
	}
	t.out = append(t.out, out)
}

// nags reports what is not told: notes about residents while others join, whose keeper knows them,
// and advice to keep more of a kind that is held. That a few more would be better is not said of a kind
// with which something else is wrong, or where they would crowd the tank.
func (t *teller) nags(f *Finding) bool {
	if f.Existing && f.Severity == Note {
		return true
	}
	if f.Code() == GroupBelowCustom && f.Remedy != nil && (t.Troubled(t.Lines[f.Lines[0]].Kind) || t.crowdedWith(f.Remedy)) {
		return true
	}
	return moreFish(f) && slices.ContainsFunc(f.Lines, func(l int) bool { return t.held[t.Lines[l].Kind] })
}

// tooSmallFor reports whether the tank is too small for the kind of a finding.
func (t *teller) tooSmallFor(f *Finding) bool {
	return slices.ContainsFunc(t.Findings, func(o Finding) bool {
		return isTankSize(o.Code()) && o.Severity > Note && len(f.Lines) > 0 && slices.Contains(o.Lines, f.Lines[0])
	})
}

// like is what was told already and says the same of another kind; nil for nothing.
func (t *teller) like(f *Finding) *Finding {
	if !mergeable(f) {
		return nil
	}
	for i := range t.out {
		o := &t.out[i]
		if o.Code() == f.Code() && o.Severity == f.Severity && o.Existing == f.Existing && slices.Equal(o.Statement.Words, f.Statement.Words) && sameRemedy(o, f) {
			return o
		}
	}
	return nil
}

// mergeable reports findings that are about each kind for itself and read as well of several.
func mergeable(f *Finding) bool {
	switch f.Code() {
	case OutsideTolerated, OutsidePreferred, LidNeeded, SandNeeded, LandNeeded, SaltNeeded, MatureTankNeeded, CoverThin, SexNotTold, LongCommitment,
		PlantsEaten, TankAsked, GroupBelowCustom, FryExpected, FlowTooStrong, FlowTooWeak, TankTooLow, LawUnknown, LawForbids, LawPermit, GiantUnhoused:
		return true
	}
	return isTankSize(f.Code())
}

// sameRemedy reports whether one change clears both: the tank's own changes do.
func sameRemedy(a, b *Finding) bool {
	return a.Remedy == nil || b.Remedy == nil || a.Remedy.Line < 0 && b.Remedy.Line < 0
}

// oneTank leaves one recommendation for a tank in the whole answer, large enough for all that is
// told of room, at the gravest finding that asks for one; none where no ordinary tank is.
func (t *teller) oneTank() {
	var size conflict.TankSize
	first, none := -1, false
	for i := range t.out {
		f := &t.out[i]
		asks := isTankSize(f.Code()) || f.Code() == GroundCrowded || tooFull(f.Code()) || f.Code() == LoadTooHeavy
		switch {
		case !asks:
			continue
		case f.Remedy == nil || f.Remedy.Size == nil:
			none = none || f.Severity > Note
		default:
			size = largest(size, *f.Remedy.Size)
			f.Remedy = nil
		}
		if first < 0 {
			first = i
		}
	}
	if first < 0 || none || size == (conflict.TankSize{}) {
		return
	}
	c := t.ToStandardTank(size.LengthCM, size.FootprintCM2(), size.HeightCM)
	if c != nil && c.Size.LengthCM <= LongestHome {
		t.out[first].Remedy = c
	}
}

// LongestHome is the longest tank in cm that is recommended: a longer one is no remedy for ordinary
// people. Common practice, no source.
const LongestHome = 240.0

func largest(a, b conflict.TankSize) conflict.TankSize {
	return conflict.TankSize{LengthCM: max(a.LengthCM, b.LengthCM), WidthCM: max(a.WidthCM, b.WidthCM), HeightCM: max(a.HeightCM, b.HeightCM)}
}

// kindsOf are the kinds of some lines, each once.
func (j *Assessment) kindsOf(lines []int) (out []*species.Species) {
	if len(lines) == 0 {
		return nil
	}
	out = j.onSlate().kinds.of(len(lines))
	for _, l := range lines {
		if sp := j.Lines[l].Species; !slices.Contains(out, sp) {
			out = append(out, sp)
		}
	}
	return out
}
