package verify

import (
	"fmt"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// Catalogue judges the content of a catalogue: ranges, required values, names that
// would be ambiguous, references, and whether the values of an entry fit each
// other and those of their genus. The problems come in the order of the entries, then
// those of congeners, of names shared
// between entries, of words and of sources. A catalogue whose problems hold no
// error can be indexed as a snapshot.
//
// The bounds are in bounds.go, each with its reason.
func Catalogue(c species.Catalogue) []Problem { return Placed(c, nil) }

// Placed is [Catalogue] of a catalogue whose text is known: each problem has its
// place.
func Placed(c species.Catalogue, places *entry.Places) []Problem {
	v := &verifier{catalogue: c, places: places, byID: make(map[species.ID]*species.Species, len(c.Species)), sources: make(map[string]bool)}
	for _, s := range c.Sources {
		v.sources[s.Key] = false
	}
	for _, s := range c.Species {
		if s != nil && v.byID[s.ID] == nil {
			v.byID[s.ID] = s
		}
	}
	for i, s := range c.Species {
		if s == nil {
			v.add(SeverityError, "", "species", "entry %d is missing", i)
			continue
		}
		v.entry(s)
	}
	v.congeners()
	v.names()
	v.groupWords()
	v.sourceList()
	v.lookups()
	v.acknowledge()
	return v.problems
}

// verifier holds a catalogue while it is judged.
type verifier struct {
	catalogue species.Catalogue
	byID      map[species.ID]*species.Species // the first entry of each id
	sources   map[string]bool                 // key to whether a value cites it
	places    *entry.Places
	problems  []Problem
}

func (v *verifier) add(severity Severity, id species.ID, field, format string, args ...any) {
	v.addTo(v.byID[id], severity, id, field, fmt.Sprintf(format, args...))
}

// addTo adds a problem of an entry that may share its id with another; s is nil for
// words and sources.
func (v *verifier) addTo(s *species.Species, severity Severity, id species.ID, field, detail string) {
	v.problems = append(v.problems, Problem{
		Severity: severity, Species: id, Field: field, Detail: detail, Place: v.places.Of(s, field),
	})
}

// entryVerifier judges one entry.
type entryVerifier struct {
	*verifier
	s *species.Species
}

func (e entryVerifier) fault(field, format string, args ...any) {
	e.addTo(e.s, SeverityError, e.s.ID, field, fmt.Sprintf(format, args...))
}

func (e entryVerifier) review(field, format string, args ...any) {
	e.addTo(e.s, SeverityReview, e.s.ID, field, fmt.Sprintf(format, args...))
}

// entry runs every check that needs one entry (and its parent) alone.
func (v *verifier) entry(s *species.Species) {
	e := entryVerifier{v, s}
	e.identity()
	e.form()
	e.vocabulary()
	e.otherNames()
	e.texts()
	e.basis("basis", s.Basis)
	e.traits()
	e.sexes()
	e.water()
	e.zones()
	e.body()
	e.life()
	e.mouth()
	e.diet()
	e.feeding()
	e.tank()
	e.company()
	e.sexRatio()
	e.temper()
	e.levels()
	e.cautions()
	e.habitat()
	e.checked()
}
