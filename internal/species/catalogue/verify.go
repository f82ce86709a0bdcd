package catalogue

import (
	"fmt"

	"commensal/internal/species"
)

// Verify judges the content of a catalogue: ranges, required values, names that
// would be ambiguous, references, and whether the values of an entry fit each
// other. The problems come in the order of the entries, then those of names shared
// between entries, of words and of sources. A catalogue whose problems hold no
// error can be indexed as a snapshot.
//
// The bounds are in bounds.go, each with its reason.
func Verify(c species.Catalogue) []Problem {
	v := &verifier{catalogue: c, byID: make(map[species.ID]*species.Species, len(c.Species)), sources: make(map[string]bool)}
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
	v.names()
	v.groupWords()
	v.sourceList()
	v.lookups()
	return v.problems
}

// verifier holds a catalogue while it is judged.
type verifier struct {
	catalogue species.Catalogue
	byID      map[species.ID]*species.Species // the first entry of each id
	sources   map[string]bool                 // key to whether a value cites it
	problems  []Problem
}

func (v *verifier) add(severity Severity, id species.ID, field, format string, args ...any) {
	v.problems = append(v.problems, Problem{severity, id, field, fmt.Sprintf(format, args...)})
}

// entryVerifier judges one entry.
type entryVerifier struct {
	*verifier
	s *species.Species
}

func (e entryVerifier) fault(field, format string, args ...any) {
	e.add(SeverityError, e.s.ID, field, format, args...)
}

func (e entryVerifier) review(field, format string, args ...any) {
	e.add(SeverityReview, e.s.ID, field, format, args...)
}

// entry runs every check that needs one entry (and its parent) alone.
func (v *verifier) entry(s *species.Species) {
	e := entryVerifier{v, s}
	e.identity()
	e.form()
	e.vocabulary()
	e.otherNames()
	e.basis("basis", s.Basis)
	e.traits()
	e.sexes()
	e.water()
	e.zones()
	e.body()
	e.life()
	e.mouth()
	e.tank()
	e.company()
	e.levels()
	e.habitat()
}
