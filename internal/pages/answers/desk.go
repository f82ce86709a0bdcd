package answers

import (
	"errors"
	"strconv"

	"commensal/internal/conflict"
	"commensal/internal/pages/links"
	"commensal/internal/species"
	"commensal/internal/stocking/wording"
)

// Desk answers from one catalogue revision and one model.
type Desk struct {
	book *conflict.Book
}

// NewDesk answers from a book.
func NewDesk(book *conflict.Book) *Desk { return &Desk{book} }

// Edition names the data and the model that every answer of this desk rests on. Equal
// editions give equal answers.
func (d *Desk) Edition() string {
	return d.book.Model.Version() + "/" + strconv.FormatInt(d.book.Snapshot.Revision(), 10)
}

// Model is the version of the model.
func (d *Desk) Model() string { return d.book.Model.Version() }

// Revision is the number of the catalogue revision.
func (d *Desk) Revision() int64 { return d.book.Snapshot.Revision() }

// Kinds is the number of species in the catalogue.
func (d *Desk) Kinds() int { return d.book.Snapshot.Len() }

// Kind names a species.
type Kind struct {
	ID, Name, Scientific string
	Invertebrate         bool
}

func kindOf(sp *species.Species) Kind {
	return Kind{string(sp.ID), sp.VernacularName("en"), sp.ScientificName, sp.BodyForm.Invertebrate()}
}

// Named is what a name was found to mean: one kind, or none with candidates to ask about.
type Named struct {
	Kind       Kind
	Found      bool
	Ambiguous  bool   // the candidates all carry the name
	Candidates []Kind // at most [MaxCandidates]
	NotAFish   string // what it is, in a sentence, where it is known to be no fish of the catalogue
}

// maxWord is how much of a name a sentence repeats, in characters.
const maxWord = 60

// MaxCandidates is the greatest number of candidates that a person is asked about.
const MaxCandidates = 12

// Resolve finds what a name means; nothing is guessed.
func (d *Desk) Resolve(name string) Named {
	m, err := d.book.Snapshot.Resolve(name)
	if err == nil {
		return Named{Kind: kindOf(m.Species), Found: true}
	}
	var many *species.AmbiguousNameError
	var unknown *species.UnknownNameError
	switch {
	case errors.As(err, &many):
		return Named{Ambiguous: true, Candidates: d.candidates(many.Candidates)}
	case errors.As(err, &unknown) && unknown.Other != nil:
		return Named{NotAFish: wording.English(false).OtherGood(unknown.Other, links.Printable(name, maxWord))}
	case errors.As(err, &unknown):
		return Named{Candidates: d.candidates(unknown.Near)}
	}
	return Named{}
}

// Search lists kinds whose names fit, best first, each with the name that fits.
func (d *Desk) Search(q string, limit int) []Suggestion {
	found := d.book.Snapshot.Search(q, limit)
	out := make([]Suggestion, len(found))
	for i, c := range found {
		out[i] = Suggestion{Kind: d.kind(c.ID), Matched: c.Matched}
	}
	return out
}

// Suggestion is a kind whose name fits what was typed.
type Suggestion struct {
	Kind    Kind
	Matched string
}

func (d *Desk) candidates(list []species.Candidate) []Kind {
	list = list[:min(len(list), MaxCandidates)]
	out := make([]Kind, len(list))
	for i, c := range list {
		out[i] = d.kind(c.ID)
	}
	return out
}

func (d *Desk) kind(id species.ID) Kind {
	if sp, ok := d.book.Snapshot.ByID(id); ok {
		return kindOf(sp)
	}
	return Kind{ID: string(id), Name: string(id)}
}

// words are the sentences of the core, with US units where they are wanted.
func words(us bool) conflict.Words { return conflict.English(us) }
