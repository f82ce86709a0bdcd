package species

import (
	"slices"
	"strings"
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

// near lists at most n entries with names like key, best first.
func (s *Snapshot) near(key string, n int) []Candidate {
	found := hits{}
	s.names.addNear(found, key, 1)
	return found.best(s, n)
}

// addNear adds the entries with names like key, their scores scaled by weight.
func (t *nameTable) addNear(found hits, key string, weight float64) {
	if len(key) > maxNearKey {
		return
	}
	var e editor
	for _, x := range t.grams.nearest(key, reranked, leastShared) {
		name := t.records[x.record].key
		alike, within := e.similarity(key, name), containsWords(key, name)
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
