package species

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestTrigramsArePaddedByWord(t *testing.T) {
	pack := func(s string) trigram {
		r := []rune(s)
		return trigram(r[0])<<(2*runeBits) | trigram(r[1])<<runeBits | trigram(r[2])
	}
	want := []trigram{}
	for _, s := range []string{"  c", " ca", "cat", "at ", "  a"} {
		want = append(want, pack(s))
	}
	slices.Sort(want)
	if got := trigramsOf(nil, "cat a cat"); !slices.Equal(slices.DeleteFunc(got, func(g trigram) bool { return g == pack(" a ") }), want) {
		t.Errorf("got %x, want %x and the one of the word a", got, want)
	}
	if got := trigramsOf(nil, ""); len(got) != 0 {
		t.Errorf("nothing gave %x", got)
	}
}

func TestTheIndexFindsWhatAScanFinds(t *testing.T) {
	key := rapid.StringMatching(`[a-d]{1,6}( [a-d]{1,4})?`)
	rapid.Check(t, func(t *rapid.T) {
		var records []nameRecord
		for _, k := range rapid.SliceOfN(key, 1, 30).Draw(t, "names") {
			records = append(records, nameRecord{key: k})
		}
		query, n := key.Draw(t, "query"), rapid.IntRange(1, 10).Draw(t, "n")
		index := indexTrigrams(records)
		got := index.nearest(query, n, leastShared)
		want := scanNearest(records, query, n)
		if !slices.Equal(got, want) {
			t.Fatalf("got %v, want %v", got, want)
		}
	})
}

// scanNearest is the slow, plain way: compare with every record.
func scanNearest(records []nameRecord, query string, n int) []similar {
	q := trigramsOf(nil, query)
	var out []similar
	for r := range records {
		g := trigramsOf(nil, records[r].key)
		shared := 0
		for _, x := range g {
			if slices.Contains(q, x) {
				shared++
			}
		}
		if j := float64(shared) / float64(len(g)+len(q)-shared); shared > 0 && j >= leastShared {
			out = append(out, similar{int32(r), j})
		}
	}
	slices.SortStableFunc(out, func(a, b similar) int { return compareDescending(a.similarity, b.similarity) })
	return out[:min(n, len(out))]
}
