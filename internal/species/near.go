package species

import (
	"slices"
	"strings"

	"commensal/internal/species/labels"
	"commensal/internal/species/spelling"
)

const (
	// maxNear is how many near matches an [UnknownNameError] lists.
	maxNear = 5
	// leastShared is the trigram similarity below which a record is not looked at.
	leastShared = 0.1
	// leastSimilar is the trigram similarity that makes a near match by itself; it
	// is the default threshold of pg_trgm.
	leastSimilar = 0.3
	// leastAlike is the edit similarity that makes a near match by itself: two slips
	// in five letters.
	leastAlike = 0.6
	// scoreWithin is the least score of a name that stands whole within what was asked
	// for, as in "albino oscar"; it rises with the share of the query it covers.
	scoreWithin = 0.7
	// reranked is how many of the most similar records are compared letter by letter.
	reranked = 128
	// maxNearKey bounds the length in bytes of what is looked for.
	maxNearKey = 256
)

// hit is an entry found by a search.
type hit struct {
	species int32
	score   float64
	order   int // place among the candidates of a trade word
	shown   string
}

// compareHits orders by score, then by the order of a trade word, then by id.
func compareHits(a, b hit) int {
	if a.score != b.score {
		return compareDescending(a.score, b.score)
	}
	if a.order != b.order {
		return a.order - b.order
	}
	return int(a.species - b.species)
}

// hits keeps the best hit for each entry.
type hits map[int32]hit

func (h hits) add(n hit) {
	if old, ok := h[n.species]; !ok || n.score > old.score || n.score == old.score && n.order < old.order {
		h[n.species] = n
	}
}

// addRecord adds all that a record may mean.
func (h hits) addRecord(t *nameTable, r int32, score float64) {
	record := &t.records[r]
	if record.group >= 0 {
		g := &t.groups[record.group]
		for order, sp := range g.species {
			h.add(hit{sp, score, order, g.word})
		}
		return
	}
	for _, c := range record.claims {
		h.add(hit{c.species, score, 0, c.shown})
	}
}

// best lists at most n hits, best first.
func (h hits) best(s *Snapshot, n int) []Candidate {
	sorted := make([]hit, 0, len(h))
	for _, x := range h {
		sorted = append(sorted, x)
	}
	slices.SortFunc(sorted, compareHits)
	out := make([]Candidate, 0, min(n, len(sorted)))
	for _, x := range sorted[:min(n, len(sorted))] {
		out = append(out, s.candidate(x.species, x.shown, x.score))
	}
	return out
}

// addNear adds the entries with names like key, their scores scaled by weight.
func (t *nameTable) addNear(found hits, key string, weight float64) {
	if len(key) > maxNearKey {
		return
	}
	var e spelling.Editor
	for _, x := range t.grams().nearest(key, reranked, leastShared) {
		name := t.records[x.record].key
		alike, within := e.Similarity(key, name), containsWords(key, name)
		if x.similarity >= leastSimilar || alike >= leastAlike || within {
			score := nearScore(x.similarity, alike)
			if within {
				score = max(score, scoreWithin+(0.9-scoreWithin)*float64(len(name))/float64(len(key)))
			}
			found.addRecord(t, x.record, weight*score)
		}
	}
}

// nearScore weighs letters in order twice as much as shared trigrams, but lets
// the trigrams speak where only the order of the words is different.
func nearScore(similarity, alike float64) float64 {
	return max(0.9*similarity, (similarity+2*alike)/3)
}

// containsWords reports whether the words of name stand in key, in order and unbroken.
func containsWords(key, name string) bool {
	for at := range eachWord(key) {
		if rest := key[at:]; strings.HasPrefix(rest, name) && (len(rest) == len(name) || rest[len(name)] == ' ') {
			return true
		}
	}
	return false
}

// maxLabelNear is how many candidates are told for a label that is not known.
const maxLabelNear = 12

// addLike adds the kinds with names like those of a label, of no other kingdom than the label names: no fish
// for an unknown snail. Their scores are scaled by weight.
func (s *Snapshot) addLike(found hits, q string, weight float64) {
	words := s.names.splitJoined(strings.Fields(spelling.Squash(spelling.Fold(q))))
	if len(words) == 0 {
		return
	}
	like := hits{}
	s.names.addNear(like, strings.Join(words, " "), weight)
	for n := range words { // what the last words say by themselves is likelier than what merely looks alike
		if heads := s.names.head(strings.Join(words[n:], " ")); len(heads) > 0 && labels.Tells(words[len(words)-1]) == 0 {
			for order, c := range heads {
				like.add(hit{c.species, weight * scoreWithin, order, c.shown})
			}
			break
		}
	}
	wanted := kingdomOf(words)
	for i, h := range like {
		if wanted.holds(s.entries[i].BodyForm) {
			found.add(h)
		}
	}
}

// kingdom is what sort of animal a label says it is.
type kingdom uint8

const (
	anyKingdom kingdom = iota
	fishes
	crustaceans
	molluscs
)

// holds reports whether a body form belongs to it.
func (k kingdom) holds(f BodyForm) bool {
	switch k {
	case fishes:
		return !f.Invertebrate()
	case crustaceans:
		return f.Crustacean()
	case molluscs:
		return f.Shelled()
	}
	return true
}

// kingdomWords are nouns that tell the kingdom.
var kingdomWords = map[string]kingdom{
	"shrimp": crustaceans, "shrimps": crustaceans, "prawn": crustaceans, "crab": crustaceans, "crabs": crustaceans, "crayfish": crustaceans,
	"lobster": crustaceans, "garnele": crustaceans, "garnelen": crustaceans, "crevette": crustaceans, "gamba": crustaceans, "camarao": crustaceans,
	"snail": molluscs, "snails": molluscs, "nerite": molluscs, "clam": molluscs, "mussel": molluscs, "schnecke": molluscs, "schnecken": molluscs,
	"escargot": molluscs, "caracol": molluscs,
	"fish": fishes, "tetra": fishes, "barb": fishes, "danio": fishes, "rasbora": fishes, "cichlid": fishes, "loach": fishes, "cory": fishes,
	"catfish": fishes, "pleco": fishes, "gourami": fishes, "betta": fishes, "goldfish": fishes, "guppy": fishes, "killifish": fishes,
	"rainbowfish": fishes, "puffer": fishes, "goby": fishes, "eel": fishes, "tetras": fishes, "barbs": fishes, "cichlids": fishes,
}

// kingdomOf is the kingdom that the last telling word of a label names.
func kingdomOf(words []string) kingdom {
	for _, w := range slices.Backward(words) {
		if k, ok := kingdomWords[w]; ok {
			return k
		}
	}
	return anyKingdom
}

// Similarity says how much two texts are alike, from 0 (not at all, or hardly) to 1
// (equal): the share of the longer one that need not be edited. It sees case.
func Similarity(a, b string) float64 {
	var e spelling.Editor
	return e.Similarity(a, b)
}
