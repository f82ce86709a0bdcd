package spelling

// Editor measures edit distances; it keeps its rows between calls. It is not safe
// for concurrent use.
type Editor struct {
	query, name          []rune
	before, above, below []int
}

// Similarity is 1 - d/n, where n is the length of the longer text in runes and d
// their edit distance, or 0 when d is above a third of n (or above maxEdits).
func (e *Editor) Similarity(query, name string) float64 {
	e.query, e.name = appendRunes(e.query[:0], query), appendRunes(e.name[:0], name)
	n := max(len(e.query), len(e.name))
	limit := min(max(1, n/3), maxEdits)
	d := e.Distance(e.query, e.name, limit)
	if d > limit {
		return 0
	}
	return 1 - float64(d)/float64(n)
}

// maxEdits bounds the work on long names.
const maxEdits = 8

func appendRunes(dst []rune, s string) []rune {
	for _, r := range s {
		dst = append(dst, r)
	}
	return dst
}

// Distance is the optimal string alignment distance (Damerau-Levenshtein without
// edits inside a transposition): the least number of insertions, deletions,
// replacements and swaps of neighbours. It gives up above the limit and then
// returns limit+1.
func (e *Editor) Distance(a, b []rune, limit int) int {
	if len(a)-len(b) > limit || len(b)-len(a) > limit {
		return limit + 1
	}
	e.before, e.above, e.below = row(e.before, len(b)), row(e.above, len(b)), row(e.below, len(b))
	for j := range e.above {
		e.above[j] = min(j, limit+1)
	}
	for i := 1; i <= len(a); i++ {
		if least := e.nextRow(a, b, i, limit); least > limit {
			return limit + 1
		}
		e.before, e.above, e.below = e.above, e.below, e.before
	}
	return min(e.above[len(b)], limit+1)
}

// nextRow fills e.below for the i-th rune of a, only in the band around the diagonal
// where the distance can be within the limit, and gives the least value in it.
func (e *Editor) nextRow(a, b []rune, i, limit int) int {
	from, to := max(1, i-limit), min(len(b), i+limit)
	beyond := limit + 1
	e.below[from-1] = beyond
	if from == 1 {
		e.below[0] = min(i, beyond)
	}
	least := e.below[from-1]
	for j := from; j <= to; j++ {
		cost := 1
		if a[i-1] == b[j-1] {
			cost = 0
		}
		d := min(e.above[j-1]+cost, e.below[j-1]+1, e.above[j]+1)
		if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
			d = min(d, e.before[j-2]+1)
		}
		e.below[j] = min(d, beyond)
		least = min(least, e.below[j])
	}
	if to < len(b) {
		e.below[to+1] = beyond // the next row looks one to the right
	}
	return least
}

// row makes room for n+1 numbers.
func row(r []int, n int) []int {
	if cap(r) <= n {
		return make([]int, n+1)
	}
	return r[:n+1]
}
