package outlier

import (
	"math"
	"slices"

	"commensal/internal/species"
	"gonum.org/v1/gonum/mat"
)

// table has what is known of the entries: one row an entry, one column a value, and groups.
type table struct {
	entries []*species.Species
	known   [][]bool    // by value, then entry
	x       [][]float64 // centred and scaled; 0, the middle, where not known
	centre  []float64
	spread  []float64
	groups  [][]float64 // a column of 0 and 1 for each form of body and guild but the commonest
}

func newTable(entries []*species.Species) *table {
	t := &table{entries: entries}
	for _, v := range values {
		t.addValue(v)
	}
	t.addGroups(func(s *species.Species) string { return string(s.BodyForm) })
	t.addGroups(func(s *species.Species) string { return string(s.Guild) })
	return t
}

func (t *table) addValue(v value) {
	known, x := make([]bool, len(t.entries)), make([]float64, len(t.entries))
	var there []float64
	for i, s := range t.entries {
		if x[i], known[i] = v.scaled(s); known[i] {
			there = append(there, x[i])
		}
	}
	centre, spread := 0.0, 0.0
	if len(there) > 0 {
		centre, spread = robust(there)
	}
	spread = max(spread, v.least)
	for i := range x {
		if known[i] {
			x[i] = (x[i] - centre) / spread
		} else {
			x[i] = 0
		}
	}
	t.known, t.x = append(t.known, known), append(t.x, x)
	t.centre, t.spread = append(t.centre, centre), append(t.spread, spread)
}

// addGroups adds a column for each word that at least leastGroup entries have.
func (t *table) addGroups(word func(*species.Species) string) {
	count := make(map[string]int)
	for _, s := range t.entries {
		count[word(s)]++
	}
	words := make([]string, 0, len(count))
	for w, n := range count {
		if n >= leastGroup {
			words = append(words, w)
		}
	}
	slices.Sort(words)
	for _, w := range words[min(1, len(words)):] {
		column := make([]float64, len(t.entries))
		for i, s := range t.entries {
			if word(s) == w {
				column[i] = 1
			}
		}
		t.groups = append(t.groups, column)
	}
}

const leastGroup = 8

// design is the matrix of what predicts a value, and the value, of the entries that have it.
func (t *table) design(of int) (x *mat.Dense, y []float64, rows []int) {
	for i, known := range t.known[of] {
		if known {
			rows = append(rows, i)
			y = append(y, t.x[of][i])
		}
	}
	if len(rows) == 0 {
		return nil, nil, nil
	}
	x = mat.NewDense(len(rows), len(values)+len(t.groups), nil)
	for r, i := range rows {
		x.Set(r, 0, 1)
		col := 1
		for j := range values {
			if j != of {
				x.Set(r, col, bounded(t.x[j][i]))
				col++
			}
		}
		for _, g := range t.groups {
			x.Set(r, col, g[i])
			col++
		}
	}
	return x, y, rows
}

// bounded keeps one wild predictor from ruling a prediction.
func bounded(x float64) float64 { return math.Max(-4, math.Min(4, x)) }
