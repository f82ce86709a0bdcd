package stocking

import (
	"cmp"
	"slices"

	"commensal/internal/budget"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// Assessment is one list in one tank while it is judged: everything that needs no words.
// It is built once and may be judged again in another tank without preparing the
// fish anew.
type Assessment struct {
	Terms
	Tank   *Tank
	Lines  []Resident
	Ground float64 // cm² defended by all lines

	bio *biology // of these lines; nil where none was worked out

	Pairs    []Pair        // by first, then second line
	briefs   []ListPairing // the same with words, where they were asked for
	apart    []WaterApart
	Load     *Load
	future   *future // nil where no fish grow
	Findings []Finding
	found    []Finding // as [Assessment.Finish] found them
	Decision Decision  // whether they may join, or whether the tank is all right where nobody joins
	// TankDecision is the state of the whole tank with everyone in it.
	TankDecision Decision
}

// Terms are what is asked of a list whatever its lines and its tank: they stay the same when
// some of the lines, or all of them in another tank, are judged.
type Terms struct {
	Book   *conflict.Book
	Wanted conflict.Level
	Budget *budget.Budget

	// AtSale is set where the list is what somebody asks about, and not a part of it that a solver
	// would put into a tank still to be chosen: where no tank is known, it is asked for.
	AtSale bool
	// Together is set where nobody asks who joins whom: the list is judged as if all lived there already.
	Together bool
	Region   string  // see [Stock]
	Others   []Other // see [Stock]

	met   *meetings // of the lines with a slot; nil where the list is too long to share them
	slate *Slate
}

// Resident is one canonical line made ready.
type Resident struct {
	Line
	Species *species.Species
	Fish    int // fish in the line
	Kind    int // the first line of the same species
	Company int // fish of the species in all lines
	// Profile is the fish as described; ordinary the same without a disposition, the
	// same pointer where none was observed.
	Profile, Ordinary *conflict.Profile
	Ground            float64            // cm²
	Mass              waterchem.Estimate // g, one fish
	metabolic         waterchem.Estimate // see [waterchem.Metabolic]

	slot int // among the lines whose pairings are shared, from 1; 0 for none
}

// NewAssessment puts the list in canonical order and reads the traits of every line.
func NewAssessment(book *conflict.Book, s *Stock) *Assessment { return NewAssessmentFrom(book, s, nil) }

// NewAssessmentFrom is prepare for a list that has lines in common with one made ready before,
// nil for none: their fish are not read anew.
func NewAssessmentFrom(book *conflict.Book, s *Stock, before *Assessment) *Assessment {
	if before != nil {
		return new(Slate).assess(book, s, before, before.Terms)
	}
	on := new(Slate)
	return on.assess(book, s, nil, on.shared(s))
}

// shared is what all assessments of a list share that is judged on the slate.
func (on *Slate) shared(s *Stock) Terms {
	if len(s.Lines) > maxShared {
		return Terms{slate: on}
	}
	return Terms{slate: on, met: &on.met}
}

// assess is [NewAssessmentFrom] on a slate, with what is shared among the assessments of a list.
func (on *Slate) assess(book *conflict.Book, s *Stock, before *Assessment, shared Terms) *Assessment {
	lines := canonical(book, s.Lines, on)
	on.residents = slices.Grow(on.residents[:0], len(lines))[:len(lines)]
	j := &Assessment{
		Terms: Terms{
			Book: book, Budget: s.Budget, Region: s.Region, Others: s.Others, AtSale: true,
			Wanted: min(s.Wanted, conflict.High), // severe is never wanted
			met:    shared.met, slate: shared.slate,
		},
		Tank: s.Tank.Shaped(), Lines: on.residents,
	}
	for i := range lines {
		r := &j.Lines[i]
		r.Line, r.Species = lines[i], book.Snapshot.At(lines[i].Index)
		r.Fish, r.Kind = fishIn(r.Species, &r.Line), i
		if i > 0 && lines[i-1].Index == r.Index {
			r.Kind = j.Lines[i-1].Kind
		}
		j.Lines[r.Kind].Company += r.Fish
	}
	room := on.profiles[:0]
	for i := range j.Lines {
		r := &j.Lines[i]
		r.Company = j.Lines[r.Kind].Company
		if !before.lends(r) {
			if rest := len(j.Lines) - i; r.numbered() && len(room) == 0 && cap(room) < rest {
				room = make([]conflict.Profile, 0, rest) // for the lines that are read, together
			}
			room = r.read(book, room, on.masses)
			r.slot = j.met.join()
		}
		j.Ground += r.Ground
	}
	on.profiles = room
	return j
}

// onSlate is what the list is judged on; a new one for fish that were put together from others.
func (j *Assessment) onSlate() *Slate {
	if j.slate == nil {
		j.slate = new(Slate)
	}
	return j.slate
}

// numbered reports whether the line is of another number than is customary, so that it needs a profile of its own.
func (r *Resident) numbered() bool { return r.Count != 0 || r.Company != r.Fish }

// read reads the traits of a line, into room where it needs a profile of its own, and returns what is taken of the room.
func (r *Resident) read(book *conflict.Book, room []conflict.Profile, masses *masses) (taken []conflict.Profile) {
	if taken = room; r.numbered() {
		taken = room[:len(room)+1]
		r.Profile = &taken[len(room)]
	}
	r.Profile = profileOf(book, r, r.Observed, r.Profile)
	r.Ordinary = r.Profile
	if r.Observed != conflict.Typical {
		r.Ordinary = profileOf(book, r, conflict.Typical, new(conflict.Profile))
	}
	r.Ground = r.Profile.Ground()
	masses.weigh(book.Snapshot, r)
	return taken
}

// Become makes the line another in the eyes of the model.
func (r *Resident) Become(p *conflict.Profile) { r.Profile, r.slot = p, 0 }

// lends gives a line what was read of the same fish in the same company; false where
// there are none.
func (j *Assessment) lends(r *Resident) bool {
	if j == nil {
		return false
	}
	for i := range j.Lines {
		o := &j.Lines[i]
		if o.Index == r.Index && o.Count == r.Count && o.Company == r.Company && CompareLines(&o.Line, &r.Line) == 0 {
			r.Profile, r.Ordinary, r.Ground, r.Mass, r.metabolic, r.slot = o.Profile, o.Ordinary, o.Ground, o.Mass, o.metabolic, o.slot
			return true
		}
	}
	return false
}

// profileOf reads the line's traits. A length is taken as given; an age alone leaves
// the fish adult, since the list is judged for life.
func profileOf(book *conflict.Book, r *Resident, mood conflict.Disposition, room *conflict.Profile) *conflict.Profile {
	ind := conflict.Individual{Sex: r.Sex, LengthCM: r.LengthCM, Observed: mood}
	if mood != conflict.Typical {
		ind.MonthsObserved = r.MonthsObserved
	}
	base := book.For(r.Index, ind)
	if !r.numbered() {
		return base
	}
	base.NumbersInto(room, r.Fish, r.Company)
	return room
}

// In is the same list in another tank, not yet judged.
func (j *Assessment) In(tank *Tank) *Assessment {
	return &Assessment{Terms: j.Terms, Tank: tank.Shaped(), bio: j.bio, Lines: j.Lines, Ground: j.Ground}
}

// Judge fills in pairs, findings, load and the decision, without words, remedies,
// bands or leave-out sets.
func (j *Assessment) Judge() Decision {
	j.judgePairs()
	return j.Finish()
}

// JudgeInFull is judge with the band, reason and summary of every pairing.
func (j *Assessment) JudgeInFull() Decision {
	j.briefPairs()
	return j.Finish()
}

// Finish is what follows the pairings.
func (j *Assessment) Finish() Decision {
	j.Budget.Spend(int64(UnitsJudging + UnitsFinding*len(j.Lines)))
	j.apart = j.waterApart()
	j.Load = j.loadOf()
	j.future = nil
	j.foresee()
	j.Findings = j.find()
	j.markExisting()
	j.found = j.Findings
	return j.Decide()
}

// FinishAgain is [Assessment.Finish] where other pairings of the same list in the same tank were
// scored since: what is found does not change with them unless fish grow.
func (j *Assessment) FinishAgain() Decision {
	if j.found == nil || j.future != nil {
		return j.Finish()
	}
	j.Findings = j.found
	return j.Decide()
}

// PairTank is the tank as package conflict sees it, nil without one.
func (j *Assessment) PairTank() *conflict.Tank {
	if j.Tank == nil {
		return nil
	}
	return &j.Tank.Tank
}

// HasFootprint reports whether findings about room can be made.
func (j *Assessment) HasFootprint() bool { return j.Tank != nil && j.Tank.HasFootprint() }

// Band is a trait of a line; ok is false where the catalogue lacks it.
func (r *Resident) Band(t species.Trait) (species.Band, bool) { return r.Profile.Band(t) }

// typical is a trait's typical value, or absent where the catalogue lacks it.
func (r *Resident) typical(t species.Trait, absent float64) float64 {
	if b, ok := r.Profile.Band(t); ok {
		return b.Typical
	}
	return absent
}

// needs reports whether the species lists a need.
func (r *Resident) needs(need string) bool {
	for _, n := range r.Species.Needs {
		if n == need {
			return true
		}
	}
	return false
}

// Without is the same list in the same tank without some lines, each the only one of its species;
// nil where the company of others would change. Not yet judged.
func (j *Assessment) Without(lines []int) *Assessment {
	k := j.In(j.Tank)
	k.Lines, k.Ground, k.bio = make([]Resident, 0, len(j.Lines)), 0, nil
	for i := range j.Lines {
		r := &j.Lines[i]
		if !slices.Contains(lines, i) {
			k.Lines = append(k.Lines, *r)
			k.Ground += r.Ground
		} else if r.Company != r.Fish {
			return nil
		}
	}
	k.renumber()
	return k
}

// renumber finds the first line of each species anew.
func (j *Assessment) renumber() {
	for i := range j.Lines {
		j.Lines[i].Kind = i
		if i > 0 && j.Lines[i-1].Index == j.Lines[i].Index {
			j.Lines[i].Kind = j.Lines[i-1].Kind
		}
	}
}

// JoinedBy is the same tank with further lines that were made ready elsewhere, of species
// of which it has none and each of which comes once; not yet judged.
func (j *Assessment) JoinedBy(joining ...Resident) *Assessment {
	k := &Assessment{Terms: j.Terms, Tank: j.Tank, Ground: j.Ground,
		Lines: append(make([]Resident, 0, len(j.Lines)+len(joining)), j.Lines...)}
	for i := range joining {
		k.Lines = append(k.Lines, joining[i])
		k.Lines[len(k.Lines)-1].slot = 0
		k.Ground += joining[i].Ground
	}
	slices.SortStableFunc(k.Lines, func(x, y Resident) int { return cmp.Compare(x.Index, y.Index) })
	k.renumber()
	return k
}

// Part is the list with only some lines, in ascending order, in a tank, the fish prepared
// as they stand in the whole list; not yet judged. Animals that are no fishes are told of with the
// whole list only.
func (j *Assessment) Part(tank *Tank, lines []int) *Assessment {
	k := &Assessment{Terms: j.Terms, Tank: tank.Shaped(), Lines: make([]Resident, len(lines))}
	k.AtSale, k.Others = tank != nil, nil
	for at, i := range lines {
		k.Lines[at] = j.Lines[i]
		k.Ground += j.Lines[i].Ground
	}
	k.renumber()
	return k
}

// TooSmall reports whether the tank is below the customary minimum of any line.
func (j *Assessment) TooSmall() bool {
	for i := range j.Lines {
		if j.HasFootprint() && j.Tank.ShortFor(&j.Lines[i]).Any() {
			return true
		}
	}
	return false
}

// Crowded reports whether the fish crowd the tank; never where its footprint is not known.
func (j *Assessment) Crowded() bool {
	c := j.Crowding()
	return j.HasFootprint() && c.Over(j.Tank.LengthCM*j.Tank.WidthCM)
}

// AdviceCount is the number of pieces of advice about a judged list: of splits that place as much,
// the one with the least advice about each line alone in its tank is taken.
func (j *Assessment) AdviceCount() (n int) {
	for i := range j.Findings {
		if j.Findings[i].Severity == Advice {
			n++
		}
	}
	for i := range j.Pairs {
		if j.DecisionFor(j.Pairs[i].Level) == Advise {
			n++
		}
	}
	return n
}

// Overloaded reports whether no weekly change would hold the nitrate of a list.
func (j *Assessment) Overloaded() bool {
	if j.Tank.Volume() <= 0 {
		return false
	}
	l := j.loadOf()
	return l != nil && l.Nitrate != nil && !l.Nitrate.Holds[1]
}

// PairsReach reports whether no judged pairing is above a decision.
func (j *Assessment) PairsReach(target Decision) bool {
	for i := range j.Pairs {
		if j.DecisionOn(&j.Pairs[i]) > target {
			return false
		}
	}
	return true
}
