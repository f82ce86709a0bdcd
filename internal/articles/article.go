package articles

import (
	"commensal/internal/species"
)

// The bounds of a list and of its cells, wide enough for every till and narrow enough to catch another file.
const (
	MaxRows       = 50_000
	MaxNumber     = 60  // characters of an article number
	MaxName       = 200 // characters of a name, and of a species
	MaxPriceClass = 40
	MaxNote       = 500
	MaxInStock    = 1_000_000
)

// Article is something that a shop sells, as the shop says it.
type Article struct {
	Number     string
	Name       string
	Species    string // the kind, where the shop says it apart from the name: any name of it, or several with bars between
	PriceClass string
	InStock    *int // how many; nil where the number is not known and it is in stock
	Note       string
	Line       int // in a file, from 1; 0 where it came from none
}

// Sold reports whether it is in stock.
func (a *Article) Sold() bool { return a.InStock == nil || *a.InStock > 0 }

// Text is what says which kind it is: the species, else the name.
func (a *Article) Text() string {
	if a.Species != "" {
		return a.Species
	}
	return a.Name
}

// Match is how far an article is known.
type Match string

// The matches.
const (
	Matched   Match = "matched"    // one kind
	Ambiguous Match = "ambiguous"  // several kinds: each is judged
	Unknown   Match = "unknown"    // no kind
	NotJudged Match = "not_judged" // no fish of the catalogue: a plant, food, a frog
)

// Matches lists them.
func Matches() []Match { return []Match{Matched, Ambiguous, Unknown, NotJudged} }

// Meaning is what an article is.
type Meaning struct {
	Match Match
	// Kinds are the ids that it may mean, the likeliest first, at most [species.MaxMeanings]. Broader is how many
	// more there are.
	Kinds   []species.ID
	Broader int
	Good    species.GoodKind // what it is, where it is no fish of the catalogue
}

// MeaningOf matches an article.
func MeaningOf(s *species.Snapshot, a *Article) Meaning {
	label, known, err := s.Recognise(a.Text())
	switch {
	case err != nil || !known:
		return Meaning{Match: Unknown}
	case label.Other != nil:
		return Meaning{Match: NotJudged, Good: label.Other.Kind}
	}
	m := Meaning{Match: Matched, Broader: label.Broader, Kinds: make([]species.ID, len(label.Meanings))}
	for i := range label.Meanings {
		m.Kinds[i] = label.Meanings[i].Species.ID
	}
	if !label.Clear() {
		m.Match = Ambiguous
	}
	return m
}

// Candidates are the kinds that an article may mean: those of its meaning, or the names nearest to it where it is
// unknown. A kind that the catalogue does not have any more is left out.
func Candidates(s *species.Snapshot, a *Article, m *Meaning) []*species.Species {
	var out []*species.Species
	add := func(id species.ID) {
		if sp, ok := s.ByID(id); ok {
			out = append(out, sp)
		}
	}
	switch m.Match {
	case Unknown:
		for _, c := range s.Search(a.Text(), maxNear) {
			add(c.ID)
		}
	case Matched, Ambiguous:
		for _, id := range m.Kinds {
			add(id)
		}
	}
	return out
}

// maxNear is how many near names are told of.
const maxNear = 5
