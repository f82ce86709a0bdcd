package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// judging is one list in one tank while it is judged: everything that needs no words.
// It is built once and may be judged again in another tank without preparing the
// fish anew.
type judging struct {
	book   *conflict.Book
	tank   *Tank
	wanted conflict.Level
	lines  []resident
	ground float64 // cm² defended by all lines

	pairs    []pair        // by first, then second line
	briefs   []ListPairing // the same with words, where they were asked for
	apart    []WaterApart
	load     *Load
	future   *future // nil where no fish grow
	findings []Finding
	decision Decision
}

// resident is one canonical line made ready.
type resident struct {
	Line
	species *species.Species
	heads   int // fish in the line
	kind    int // the first line of the same species
	company int // fish of the species in all lines
	// profile is the fish as described; ordinary the same without a disposition, the
	// same pointer where none was observed.
	profile, ordinary *conflict.Profile
	ground            float64            // cm²
	mass              waterchem.Estimate // g, one fish
}

// prepare puts the list in canonical order and reads the traits of every line.
func prepare(book *conflict.Book, s *Stock) *judging { return prepareLike(book, s, nil) }

// prepareLike is prepare for a list that has lines in common with one made ready before,
// nil for none: their fish are not read anew.
func prepareLike(book *conflict.Book, s *Stock, before *judging) *judging {
	lines := canonical(book, s.Lines)
	j := &judging{
		book: book, tank: s.Tank.shaped(), lines: make([]resident, len(lines)),
		wanted: min(s.Wanted, conflict.High), // severe is never wanted
	}
	for i := range lines {
		r := &j.lines[i]
		r.Line, r.species = lines[i], book.Snapshot.At(lines[i].Index)
		r.heads, r.kind = heads(r.species, &r.Line), i
		if i > 0 && lines[i-1].Index == r.Index {
			r.kind = j.lines[i-1].kind
		}
		j.lines[r.kind].company += r.heads
	}
	for i := range j.lines {
		r := &j.lines[i]
		r.company = j.lines[r.kind].company
		if !before.lends(r) {
			r.read(book)
		}
		j.ground += r.ground
	}
	return j
}

// read reads the traits of a line.
func (r *resident) read(book *conflict.Book) {
	r.profile = profileOf(book, r, r.Observed)
	r.ordinary = r.profile
	if r.Observed != conflict.Typical {
		r.ordinary = profileOf(book, r, conflict.Typical)
	}
	r.ground, r.mass = r.profile.Ground(), massOf(r)
}

// lends gives a line what was read of the same fish in the same company; false where
// there are none.
func (j *judging) lends(r *resident) bool {
	if j == nil {
		return false
	}
	for i := range j.lines {
		o := &j.lines[i]
		if o.Index == r.Index && o.Count == r.Count && o.company == r.company && compareKind(&o.Line, &r.Line) == 0 {
			r.profile, r.ordinary, r.ground, r.mass = o.profile, o.ordinary, o.ground, o.mass
			return true
		}
	}
	return false
}

// profileOf reads the line's traits. A length is taken as given; an age alone leaves
// the fish adult, since the list is judged for life.
func profileOf(book *conflict.Book, r *resident, mood conflict.Disposition) *conflict.Profile {
	ind := conflict.Individual{Sex: r.Sex, LengthCM: r.LengthCM, Observed: mood}
	if mood != conflict.Typical {
		ind.MonthsObserved = r.MonthsObserved
	}
	base := book.For(r.Index, ind)
	if r.Count == 0 && r.company == r.heads {
		return base
	}
	return base.InNumbers(r.heads, r.company)
}

// in is the same list in another tank, not yet judged.
func (j *judging) in(tank *Tank) *judging {
	return &judging{book: j.book, tank: tank.shaped(), wanted: j.wanted, lines: j.lines, ground: j.ground}
}

// judge fills in pairs, findings, load and the decision, without words, remedies,
// bands or leave-out sets.
func (j *judging) judge() Decision {
	j.judgePairs()
	return j.rest()
}

// judgeFully is judge with the band, reason and summary of every pairing.
func (j *judging) judgeFully() Decision {
	j.briefPairs()
	return j.rest()
}

// rest is what follows the pairings.
func (j *judging) rest() Decision {
	j.apart = j.waterApart()
	j.load = j.loadOf()
	j.foresee()
	j.findings = j.find()
	j.decision = j.decide()
	return j.decision
}

// pairTank is the tank as package conflict sees it, nil without one.
func (j *judging) pairTank() *conflict.Tank {
	if j.tank == nil {
		return nil
	}
	return &j.tank.Tank
}

// hasFootprint reports whether findings about room can be made.
func (j *judging) hasFootprint() bool { return j.tank != nil && j.tank.HasFootprint() }

// band is a trait of a line; ok is false where the catalogue lacks it.
func (r *resident) band(t species.Trait) (species.Band, bool) { return r.profile.Band(t) }

// typical is a trait's typical value, or absent where the catalogue lacks it.
func (r *resident) typical(t species.Trait, absent float64) float64 {
	if b, ok := r.profile.Band(t); ok {
		return b.Typical
	}
	return absent
}

// needs reports whether the species lists a need.
func (r *resident) needs(need string) bool {
	for _, n := range r.species.Needs {
		if n == need {
			return true
		}
	}
	return false
}
