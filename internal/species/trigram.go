package species

import (
	"slices"
	"unicode/utf8"
)

// trigram packs three code points. As in PostgreSQL's pg_trgm, each word of a name
// is padded with two spaces before and one behind, and a name is the set of the
// trigrams of its words.
type trigram uint64

const runeBits = 21

// trigramsOf appends the distinct trigrams of a normal form to dst, in order.
func trigramsOf(dst []trigram, key string) []trigram {
	const mask = 1<<(3*runeBits) - 1
	window, letters := trigram(' ')<<runeBits|' ', 0
	push := func(r rune) {
		window = (window<<runeBits | trigram(r)) & mask
		dst = append(dst, window)
	}
	for _, r := range key {
		if r == ' ' {
			push(' ')
			window, letters = trigram(' ')<<runeBits|' ', 0
			continue
		}
		push(r)
		letters++
	}
	if letters > 0 {
		push(' ')
	}
	slices.Sort(dst)
	return slices.Compact(dst)
}

// trigramIndex lists for each trigram the records whose names have it.
type trigramIndex struct {
	ids      map[trigram]uint32
	starts   []uint32 // where the postings of each trigram begin, and the end
	postings []uint32
	sizes    []uint16 // number of trigrams of each record
}

// indexTrigrams counts first and fills afterwards, so that all postings lie in one
// piece of memory, in order of record.
func indexTrigrams(records []nameRecord) *trigramIndex {
	x := &trigramIndex{ids: make(map[trigram]uint32), sizes: make([]uint16, len(records))}
	var flat, counts []uint32
	var grams []trigram
	for r := range records {
		grams = trigramsOf(grams[:0], records[r].key)
		x.sizes[r] = uint16(len(grams))
		for _, g := range grams {
			id, ok := x.ids[g]
			if !ok {
				id = uint32(len(counts))
				x.ids[g] = id
				counts = append(counts, 0)
			}
			counts[id]++
			flat = append(flat, id)
		}
	}
	x.starts = make([]uint32, len(counts)+1)
	for id, n := range counts {
		x.starts[id+1] = x.starts[id] + n
	}
	x.fill(flat)
	return x
}

func (x *trigramIndex) fill(flat []uint32) {
	x.postings = make([]uint32, len(flat))
	next := slices.Clone(x.starts)
	for r, size := range x.sizes {
		for _, id := range flat[:size] {
			x.postings[next[id]] = uint32(r)
			next[id]++
		}
		flat = flat[size:]
	}
}

// similar is a record and its trigram similarity to a query: the number of shared
// trigrams over the number of all (Jaccard), 0 to 1.
type similar struct {
	record     int32
	similarity float64
}

// nearest lists the most similar records, best first, ties by record; at most n,
// all of at least the given similarity.
func (x *trigramIndex) nearest(key string, n int, least float64) []similar {
	grams := trigramsOf(make([]trigram, 0, utf8.RuneCountInString(key)+8), key)
	shared := make([]uint16, len(x.sizes))
	for _, g := range grams {
		if id, ok := x.ids[g]; ok {
			for _, r := range x.postings[x.starts[id]:x.starts[id+1]] {
				shared[r]++
			}
		}
	}
	jaccard := func(r int) float64 {
		return float64(shared[r]) / float64(len(grams)+int(x.sizes[r])-int(shared[r]))
	}
	least = max(least, x.cutoff(shared, n, jaccard))
	var out []similar
	for r, k := range shared {
		if k > 0 {
			if j := jaccard(r); j >= least {
				out = append(out, similar{int32(r), j})
			}
		}
	}
	slices.SortFunc(out, func(a, b similar) int {
		if a.similarity != b.similarity {
			return compareDescending(a.similarity, b.similarity)
		}
		return int(a.record - b.record)
	})
	return out[:min(n, len(out))]
}

// cutoff is a similarity that at least n records reach, and not many more: it spares
// sorting thousands of records that share a trigram or two.
func (x *trigramIndex) cutoff(shared []uint16, n int, jaccard func(int) float64) float64 {
	const steps = 256
	var histogram [steps + 1]int
	for r, k := range shared {
		if k > 0 {
			histogram[int(jaccard(r)*steps)]++
		}
	}
	for step, seen := steps, 0; step > 0; step-- {
		if seen += histogram[step]; seen >= n {
			return float64(step) / steps
		}
	}
	return 0
}

func compareDescending(a, b float64) int {
	switch {
	case a > b:
		return -1
	case a < b:
		return 1
	}
	return 0
}
