package species

import (
	"slices"
	"strings"

	"commensal/internal/species/spelling"
)

// The scores of a search, before the share of the name that the query covers is
// added: a name that fits is 1, then come names that begin with the query, names
// that have its words, names that have words beginning with its words, and names
// that are merely alike.
const (
	scorePrefix     = 0.9
	scoreWords      = 0.8
	scoreWordStarts = 0.7
	scoreCovered    = 0.09
	weightNear      = 0.69
)

// minNearQuery is the shortest query in bytes for which merely alike names are listed.
const minNearQuery = 3

// Search lists at most limit entries whose names fit q, best first: what [Resolve]
// would find or name as candidates, what q means as a label of the trade ([Snapshot.ReadLabel]), names that begin
// with q, names with words that begin with its words, and, when that does not fill the list, names like q. A
// trade word stands for its candidates, in their order. Text that cannot be a name finds nothing. A shorter list is the
// beginning of a longer one; what errors call near an unknown name are the first of this list.
//
// [Resolve]: Snapshot.Resolve
func (s *Snapshot) Search(q string, limit int) []Candidate {
	if limit <= 0 || checkName(q) != nil {
		return nil
	}
	key := spelling.Normal(q)
	if key == "" {
		return nil
	}
	found := hits{}
	claims, _ := s.names.lookup(q, key)
	for order, c := range claims {
		found.add(hit{c.species, 1, order, c.shown})
	}
	if len(claims) == 0 {
		s.addLabelled(found, q)
	}
	s.names.addStarts(found, key)
	if len(found) < limit && len(key) >= minNearQuery {
		s.addLike(found, q, weightNear)
	}
	return found.best(s, limit)
}

// addLabelled adds what a label of the trade means that is no name by itself, as in "moscow guppy".
func (s *Snapshot) addLabelled(found hits, q string) {
	label, _, err := s.Recognise(q)
	if err != nil {
		return
	}
	for order, m := range label.Meanings {
		found.add(hit{int32(m.Index), 1, order, m.Matched})
	}
}

// wordStart is a place in a record's name where a word begins.
type wordStart struct {
	record int32
	at     int32
}

// indexStarts lists the beginnings of all words in alphabetical order.
func indexStarts(records []nameRecord) []wordStart {
	var starts []wordStart
	for r := range records {
		for at := range eachWord(records[r].key) {
			starts = append(starts, wordStart{int32(r), int32(at)})
		}
	}
	slices.SortFunc(starts, func(a, b wordStart) int {
		if c := strings.Compare(records[a.record].key[a.at:], records[b.record].key[b.at:]); c != 0 {
			return c
		}
		return int(a.record - b.record)
	})
	return starts
}

// eachWord yields each word of a normal form with its position.
func eachWord(key string) func(yield func(int, string) bool) {
	return func(yield func(int, string) bool) {
		for at := 0; at < len(key); {
			end := at
			for end < len(key) && key[end] != ' ' {
				end++
			}
			if !yield(at, key[at:end]) {
				return
			}
			at = end + 1
		}
	}
}

// addStarts adds the records in which each word of key begins a word.
func (t *nameTable) addStarts(found hits, key string) {
	longest := ""
	for _, w := range eachWord(key) {
		if len(w) > len(longest) {
			longest = w
		}
	}
	starts := t.starts()
	i, _ := slices.BinarySearchFunc(starts, longest, func(s wordStart, w string) int {
		return strings.Compare(t.records[s.record].key[s.at:], w)
	})
	for ; i < len(starts); i++ {
		name := t.records[starts[i].record].key
		if !strings.HasPrefix(name[starts[i].at:], longest) {
			return
		}
		if score := startScore(key, name); score > 0 {
			found.addRecord(t, starts[i].record, score)
		}
	}
}

// startScore rates how the words of a query begin the words of a name; 0 when some
// word of the query begins none.
func startScore(query, name string) float64 {
	covered := scoreCovered * min(1, float64(len(query))/float64(len(name)))
	if strings.HasPrefix(name, query) {
		return scorePrefix + covered
	}
	score := scoreWords
	for _, q := range eachWord(query) {
		starts, whole := false, false
		for _, w := range eachWord(name) {
			starts = starts || strings.HasPrefix(w, q)
			whole = whole || w == q
		}
		if !starts {
			return 0
		}
		if !whole {
			score = scoreWordStarts
		}
	}
	return score + covered
}
