package conflict

import "commensal/internal/species"

// Book is a catalogue revision made ready for one model: every species' profile as a
// customary group of adults. It is immutable and safe to share, so lookups need no
// database.
type Book struct {
	Model    *Model
	Snapshot *species.Snapshot
	profiles []*Profile
}

// NewBook prepares every species of the snapshot.
func NewBook(m *Model, s *species.Snapshot) *Book {
	b := &Book{Model: m, Snapshot: s, profiles: make([]*Profile, s.Len())}
	for i := range b.profiles {
		b.profiles[i] = m.Profile(s.At(i), Individual{})
	}
	return b
}

// Profile is the profile of the snapshot's i-th species as a customary group of adults.
func (b *Book) Profile(i int) *Profile { return b.profiles[i] }

// For is the profile of the i-th species for the given fish.
func (b *Book) For(i int, ind Individual) *Profile {
	if ind == (Individual{}) {
		return b.profiles[i]
	}
	return b.Model.Profile(b.Snapshot.At(i), ind)
}

// Value is the reference-conditions score of the i-th with the j-th species.
func (b *Book) Value(i, j int) float64 {
	c := ConditionsFor(b.profiles[i], b.profiles[j], nil)
	return b.Model.Value(b.profiles[i], b.profiles[j], &c)
}
