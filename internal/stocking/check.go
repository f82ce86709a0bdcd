package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// DefaultWanted is the highest level a pairing may have where the caller names none.
const DefaultWanted = conflict.Moderate

// Check is a whole list, with or without a tank, judged.
type Check struct {
	// Decision answers the question: may the incoming fish join, or, where none are incoming, is this
	// tank all right?
	Decision Decision
	// TankDecision is the state of the whole tank with everyone in it.
	TankDecision Decision
	// SpeciesDecision is the decision without any observed disposition; it differs
	// from Decision only where a keeper's experience of single fish changed a level.
	SpeciesDecision Decision
	Summary         Summary
	// Lines is the list in canonical order, like lines merged; every line number in
	// the answer is a position in it, and its Refs lead back to the caller's list.
	Lines    []Line
	Wanted   conflict.Level
	Findings []Finding     // what the rules found, the gravest first
	Reasons  []Finding     // what is told: rules and pairings in one list, the gravest first
	Pairings []ListPairing // worst first
	Shared   SharedWater
	Load     *Load // nil when nothing can be said
	LeaveOut LeaveOut
	Outlook  Outlook
	Ask      []Question           // the one or two questions whose answers would matter most
	Assumed  []conflict.Statement // what was taken for granted, each named
	Cautions []conflict.CautionNote
	Missing  []conflict.MissingTrait
}

// Finding is one explained statement about lines or about the tank.
type Finding struct {
	Severity Severity
	// Existing is set for what stood among the residents before, and is no worse for what joins.
	Existing bool
	// Postpones is set for advice that holds what joins, though nothing need be left out for it: a tank
	// that was too full already is filled further, a new filter gets a crowd at once.
	Postpones bool
	Other     *Other // the line that is not judged, where that is what it is about
	Lines     []int  // ascending positions in Check.Lines; empty for the tank itself
	// Statement says what was found: its code, whom it concerns and the evidence.
	Statement conflict.Statement
	// Remedy is the least change that clears this finding; nil where none does.
	Remedy *Change
	// As is the finding's code where it is not its statement's, as for a pairing, whose Score it has.
	As    Code
	Score float64
	Kinds []*species.Species // whom it is about, each once, where it is told
}

// Code is the finding's code.
func (f *Finding) Code() Code {
	if f.As != "" {
		return f.As
	}
	return f.Statement.Code
}

// ListPairing is one pairing of the list. First = Second is a line among its own.
type ListPairing struct {
	First, Second int // positions in Check.Lines, First ≤ Second
	Conditions    conflict.Conditions
	Existing      bool // it stood among the residents before anyone joined
	Meant         bool // a snail eater that joins pest snails
	Borne         bool // it counts as moderate, for what is eaten is borne
	Settled       bool // the tank's readings suit both, which without their water are low
	// Score has no shares: package conflict explains a pairing in full.
	Score   conflict.Score
	Summary conflict.Statement
	// SpeciesLevel is the score of ordinary animals, set when a disposition changed it.
	SpeciesLevel *conflict.Score
}

// Summary is the one sentence that says it all, before it becomes one.
type Summary struct {
	Decision Decision
	// Main is what decides, and Reason the reason it is of; nil where nothing stands against it.
	Main   conflict.Statement
	Reason *Finding
	More   int // further reasons that lead to the same decision
	// Observed is set when a disposition changed a score.
	Observed *Observed
}

// Observed is what a keeper's experience of single fish changed: the pairing it moved
// whose species-level score is highest.
type Observed struct {
	Line                   int
	Disposition            conflict.Disposition
	Months                 float64
	Score, SpeciesLevel    float64
	Level, LevelForSpecies conflict.Level
}

// SharedWater is the water that suits everyone on the list.
type SharedWater struct {
	Windows []conflict.Window // one for each parameter on record for any line
	OK      bool
	// Apart names, where OK is false, the lines that cannot share a parameter.
	Apart []WaterApart
}

// WaterApart is a parameter that no value suits, and the two lines whose tolerated
// ranges lie furthest apart.
type WaterApart struct {
	Parameter  species.Parameter
	Low, High  int // lines: Low tolerates only less than High does
	LowRange   species.Range
	HighRange  species.Range
	Difference float64 // the gap between the ranges, in the parameter's unit
}

// Judge checks a list, in its tank where one is given: the decision, why, what could be
// left out, and what the water carries. A list that cannot be judged gives an
// [*InputError] that names every fault; nothing else fails.
//
// Answers are guidance, not a guarantee. The order of the list never matters.
func Judge(book *conflict.Book, s Stock) (Check, error) { return JudgeReady(book, &s) }

// JudgeReady is [Judge], and leaves the fish ready for whoever looks further into the list.
func JudgeReady(book *conflict.Book, s *Stock) (Check, error) {
	return JudgeReadyOn(new(Slate), book, s)
}

// JudgeReadyOn is [JudgeReady] on a slate that is wiped. The answer stands there, and all that is found out of the list then: nothing
// of it may be read once the slate is wiped again.
func JudgeReadyOn(on *Slate, book *conflict.Book, s *Stock) (Check, error) {
	if err := s.Validate(book); err != nil {
		return Check{}, err
	}
	j := on.assess(book, s, nil, on.shared(s))
	j.Pairs, j.briefs = on.pairs[:0], on.briefs[:0]
	j.JudgeInFull()
	on.pairs, on.briefs = j.Pairs, j.briefs
	s.Ready = j
	return j.check(), nil
}

// check writes out a judged list.
func (j *Assessment) check() Check {
	c := Check{
		Decision: j.Decision, TankDecision: j.TankDecision, SpeciesDecision: j.speciesDecision(), Wanted: j.Wanted,
		Lines: make([]Line, len(j.Lines)), Findings: j.Findings,
		Shared: j.SharedWater(), Load: j.Load, LeaveOut: j.leaveOut(), Outlook: j.outlook(),
		Assumed: j.assumed(), Cautions: j.Cautions(), Missing: j.missing(),
	}
	for i := range j.Lines {
		c.Lines[i] = j.Lines[i].Line
	}
	c.Reasons = j.Told()
	j.soundAdvice(c.Reasons)
	c.Ask = j.ask(c.Reasons)
	c.Pairings = j.WorstFirst() // last: it moves the briefs that the rest refers to
	c.Summary = j.Summary(c.Reasons)
	return c
}

// missing names each trait the catalogue lacks once for each species.
func (j *Assessment) missing() (out []conflict.MissingTrait) {
	for i := range j.Lines {
		if j.Lines[i].Kind != i {
			continue
		}
		for _, t := range j.Lines[i].Profile.Missing() {
			m := conflict.MissingTrait{Species: j.Lines[i].Species.ID, Trait: t}
			if !slices.Contains(out, m) {
				out = append(out, m)
			}
		}
	}
	return out
}

// Short is the short form of a check: what decides and what is told, without what helps to mend it.
type Short struct {
	Decision, TankDecision Decision
	Summary                Summary
	Lines                  []Line     // as in [Check]
	Reasons                []Finding  // as in [Check], but that remedies that ask for more fish were not judged
	Ask                    []Question // as in [Check]
}

// JudgeShort is [Judge] for the short form: the same decision, reasons and questions. Only the pairings
// that are told get words, and no leave-out set, outlook or shared water is looked for.
func JudgeShort(book *conflict.Book, s Stock) (Short, error) {
	return JudgeShortOn(new(Slate), book, s)
}

// JudgeShortOn is [JudgeShort] on a slate that is wiped, for one list after the other. The answer stands there: nothing of it may be
// read once the slate is wiped again.
func JudgeShortOn(on *Slate, book *conflict.Book, s Stock) (Short, error) {
	if err := s.Validate(book); err != nil {
		return Short{}, err
	}
	j := on.assess(book, &s, nil, Terms{slate: on}) // each pairing is judged once, and told once at the most
	j.Pairs = on.pairs[:0]
	j.Judge()
	on.pairs = j.Pairs
	out := Short{Decision: j.Decision, TankDecision: j.TankDecision, Lines: on.lines[:len(j.Lines):len(j.Lines)], Reasons: j.told(j.briefsOfTold())}
	out.Ask, out.Summary = j.ask(out.Reasons), j.Summary(out.Reasons)
	return out, nil
}

// briefsOfTold words those of the scored pairings that are told, without shares.
func (j *Assessment) briefsOfTold() []ListPairing {
	out := j.slate.briefs[:0]
	for i := range j.Pairs {
		p := &j.Pairs[i]
		if p.Level == conflict.Low && !p.Meant && !p.Settled {
			continue
		}
		told := ListPairing{First: p.First, Second: p.Second, Existing: p.Existing, Meant: p.Meant, Borne: p.Borne, Settled: p.Settled}
		c := j.Conditions(p.First, p.Second)
		j.Budget.Spend(UnitBrief)
		told.Score, told.Summary = j.Book.Model.Outline(j.Lines[p.First].Profile, j.Lines[p.Second].Profile, &c)
		out = append(out, told)
	}
	j.slate.briefs = out
	return out
}

// Slate is what a list is judged on, and the same list in other tanks and its parts after that: what they have many of stands
// together. It is not safe for concurrent use.
type Slate struct {
	given, lines []Line // as given, and in canonical order
	residents    []Resident
	profiles     []conflict.Profile
	pairs        []Pair
	briefs       []ListPairing
	gathered     []Finding // before their number is known; nil while somebody gathers
	row          []int     // all lines in order
	ranks        []rank
	findings     slab[Finding]
	evidence     slab[conflict.Evidence]
	changes      slab[Change]
	numbers      slab[int]
	kinds        slab[*species.Species]
	met          meetings
	masses       *masses // of kinds, whatever the list; nil on a slate that was never wiped
}

// Wipe leaves nothing of the list that was judged, and of a long one no room either.
func (on *Slate) Wipe() {
	if len(on.given) > maxShared {
		*on = Slate{masses: on.masses}
		return
	}
	if on.masses == nil {
		on.masses = new(masses)
	}
	on.given, on.lines, on.residents, on.profiles = emptied(on.given), emptied(on.lines), emptied(on.residents), emptied(on.profiles)
	on.pairs, on.briefs, on.ranks = emptied(on.pairs), emptied(on.briefs), emptied(on.ranks)
	on.findings.clear()
	on.evidence.clear()
	on.changes.clear()
	on.numbers.clear()
	on.kinds.clear()
	on.met.clear()
}

// emptied is the room of a list of which nothing is left.
func emptied[T any](used []T) []T {
	clear(used)
	return used[:0]
}

// take gives the room for findings to whoever gathers, who gives it back; until then nobody else has it. A new one is for so many.
func (on *Slate) take(likely int) (empty []Finding) {
	if on.gathered == nil {
		return make([]Finding, 0, likely)
	}
	empty, on.gathered = on.gathered, nil
	return empty
}

func (on *Slate) put(used []Finding) { on.gathered = emptied(used) }

// rowOf is the numbers of so many lines, in order; nobody writes in it.
func (on *Slate) rowOf(lines int) []int {
	for i := len(on.row); i < lines; i++ {
		on.row = append(on.row, i)
	}
	return on.row[:lines:lines]
}

// slab gives out parts of blocks, so that many short lists take little more than one allocation.
type slab[T any] struct{ block []T }

// The lengths of the first block, and of the longest.
const firstBlock, longestBlock = 16, 64

// of is an empty list with room for so many, never nil.
func (s *slab[T]) of(n int) []T {
	if s.block == nil || cap(s.block)-len(s.block) < n {
		s.block = make([]T, 0, max(n, min(max(firstBlock, 2*cap(s.block)), longestBlock)))
	}
	at := len(s.block)
	s.block = s.block[:at+n]
	return s.block[at : at : at+n]
}

// kept is a list that stands there; nil for an empty one.
func (s *slab[T]) kept(list ...T) []T {
	if len(list) == 0 {
		return nil
	}
	return append(s.of(len(list)), list...)
}

func (s *slab[T]) clear() { s.block = emptied(s.block) }

// ChangeKind is a kind of change to a list or a tank.
type ChangeKind string

// The kinds of change.
const (
	RaiseGroup    ChangeKind = "raise_group"    // Line, Count: the new number of fish
	AddFemales    ChangeKind = "add_females"    // Line (the males), Count: females to add
	ReduceGroup   ChangeKind = "reduce_group"   // Line, Count: the new number of fish
	LeaveLineOut  ChangeKind = "leave_out"      // Line
	Separate      ChangeKind = "separate"       // Line, into a tank of its own
	LargerTank    ChangeKind = "larger_tank"    // Size
	MoreCover     ChangeKind = "more_cover"     // To
	MoveReading   ChangeKind = "move_reading"   // Parameter, From, To
	CloseLid      ChangeKind = "close_lid"      // nothing else
	LaySand       ChangeKind = "lay_sand"       // nothing else
	MatureFilter  ChangeKind = "mature_filter"  // nothing else
	MoveTurnover  ChangeKind = "move_turnover"  // From, To, volumes per hour
	ChangeWater   ChangeKind = "change_water"   // From, To, share per week
	RemovePlants  ChangeKind = "remove_plants"  // nothing else
	CorrectLength ChangeKind = "correct_length" // Line, To in cm: the longest on record
)

// Change is one change to a list or its tank. [Apply] makes it.
type Change struct {
	Kind      ChangeKind
	Line      int // position in Check.Lines, or -1 for the tank
	Count     int
	Size      *conflict.TankSize
	Parameter species.Parameter
	From, To  float64
	Statement conflict.Statement
}

// NewChange makes a remedy; line is -1 for a change to the tank.
func (j *Assessment) NewChange(kind ChangeKind, line int, ev ...conflict.Evidence) *Change {
	on := j.onSlate()
	c := &on.changes.of(1)[:1][0]
	c.Kind, c.Line, c.Statement.Code, c.Statement.Evidence = kind, line, changeCode(kind), on.evidence.kept(ev...)
	if line >= 0 {
		c.Statement.Actor = j.Lines[line].Species
	}
	return c
}

// changeCode is the code of a change's sentence.
func changeCode(kind ChangeKind) Code {
	if code, ok := changeCodes[kind]; ok {
		return code
	}
	return Code("change." + string(kind))
}

// changeCodes are those of the changes that findings have.
var changeCodes = func() map[ChangeKind]Code {
	out := map[ChangeKind]Code{}
	for _, kind := range [...]ChangeKind{RaiseGroup, AddFemales, ReduceGroup, LeaveLineOut, Separate, LargerTank, MoreCover, MoveReading, CloseLid, LaySand,
		MatureFilter, MoveTurnover, ChangeWater, RemovePlants, CorrectLength} {
		out[kind] = Code("change." + string(kind))
	}
	return out
}()

// ReadingInto is the least move of a reading into a range.
func (j *Assessment) ReadingInto(p species.Parameter, from float64, into species.Range) *Change {
	to := min(max(from, into.Low), into.High)
	unit := parameterUnit[p]
	c := j.NewChange(MoveReading, -1,
		conflict.Evidence{Name: "from", Value: from, Unit: unit}, conflict.Evidence{Name: "to", Value: to, Unit: unit})
	c.Parameter, c.From, c.To = p, from, to
	c.Statement.Words = parameterWords(p)
	return c
}

// ToStandardTank is a change to the smallest standard tank of at least this length, floor and
// height.
func (j *Assessment) ToStandardTank(length, floor, height float64) *Change {
	for i := range conflict.StandardTanks {
		size := conflict.StandardTanks[i]
		if size.LengthCM < length || size.FootprintCM2() < floor || size.HeightCM < height {
			continue
		}
		c := j.NewChange(LargerTank, -1,
			conflict.Evidence{Name: "length", Value: size.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "width", Value: size.WidthCM, Unit: "cm"},
			conflict.Evidence{Name: "height", Value: size.HeightCM, Unit: "cm"})
		c.Size = &size
		return c
	}
	return nil
}

func (j *Assessment) moveTurnover(to float64) *Change {
	c := j.NewChange(MoveTurnover, -1,
		conflict.Evidence{Name: "from", Value: j.Tank.TurnoverPerHour, Unit: "per_hour"},
		conflict.Evidence{Name: "to", Value: to, Unit: "per_hour"})
	c.From, c.To = j.Tank.TurnoverPerHour, to
	return c
}
