package graph

// matcher finds the cheapest matching of conflicting vertices with different open
// bins, or with no place at the price of their weight: the Hungarian method with
// shortest augmenting paths (Kuhn 1955 and later forms, from memory), on prices
// instead of numbers.
type matcher struct {
	taken []bool // scratch: bins that are the cheapest of some vertex

	rows    []int   // the vertices
	rowDual []price // potentials
	colDual []price
	rowOf   []int // the row matched with each column, -1 for none
	// One augmentation: the least reduced price by which each column was reached, the
	// column before it on the path (-1 for the start), and whether it is settled.
	reach   []price
	reached []bool
	before  []int
	settled []bool
}

// reset makes the scratch ready for so many bins.
func (m *matcher) reset(bins int) {
	m.taken = resized(m.taken, bins)
}

// resized is a slice of n zero values in the given one's memory, if that is enough.
func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	s = s[:n]
	clear(s)
	return s
}

// least is the least price of the clique. Columns are the bins, and after them one "no
// place" for each row.
func (m *matcher) least(a *assigner, clique Set) price {
	m.rows = m.rows[:0]
	for v := clique.Next(0); v >= 0; v = clique.Next(v + 1) {
		m.rows = append(m.rows, v)
	}
	cols := len(a.open) + len(m.rows)
	m.rowDual = resized(m.rowDual, len(m.rows))
	m.colDual = resized(m.colDual, cols)
	m.rowOf = resized(m.rowOf, cols)
	for c := range m.rowOf {
		m.rowOf[c] = -1
	}
	for row := range m.rows {
		m.augment(a, row)
	}
	var sum price
	for c, row := range m.rowOf {
		if row >= 0 {
			p, _ := m.price(a, row, c)
			sum = sum.plus(p)
		}
	}
	return sum
}

// price is the price of the row in the column; false where it is not possible.
func (m *matcher) price(a *assigner, row, col int) (price, bool) {
	v, bins := m.rows[row], len(a.open)
	if col >= bins {
		return price{a.w[v], 0}, col == bins+row
	}
	return price{0, a.cost[col][v]}, a.open[col].in(v)
}

// augment matches one more row. It ends, since the row's own "no place" is free.
func (m *matcher) augment(a *assigner, start int) {
	cols := len(m.rowOf)
	m.reach = resized(m.reach, cols)
	m.reached = resized(m.reached, cols)
	m.before = resized(m.before, cols)
	m.settled = resized(m.settled, cols)
	row, last := start, -1
	for {
		next := m.relax(a, row, last)
		m.shift(start, m.reach[next])
		m.settled[next] = true
		last = next
		if row = m.rowOf[next]; row < 0 {
			break
		}
	}
	for c := last; c >= 0; c = m.before[c] {
		if p := m.before[c]; p >= 0 {
			m.rowOf[c] = m.rowOf[p]
		} else {
			m.rowOf[c] = start
		}
	}
}

// relax reaches columns from the row, which the path came to by column last, and
// returns the nearest column that is not settled.
func (m *matcher) relax(a *assigner, row, last int) int {
	next := -1
	for c := range m.rowOf {
		if m.settled[c] {
			continue
		}
		if p, ok := m.price(a, row, c); ok {
			p = p.minus(m.rowDual[row]).minus(m.colDual[c])
			if !m.reached[c] || p.less(m.reach[c]) {
				m.reach[c], m.reached[c], m.before[c] = p, true, last
			}
		}
		if m.reached[c] && (next < 0 || m.reach[c].less(m.reach[next])) {
			next = c
		}
	}
	return next
}

// shift changes the potentials so that the nearest column becomes free to use.
func (m *matcher) shift(start int, by price) {
	m.rowDual[start] = m.rowDual[start].plus(by)
	for c := range m.rowOf {
		switch {
		case m.settled[c]:
			m.rowDual[m.rowOf[c]] = m.rowDual[m.rowOf[c]].plus(by)
			m.colDual[c] = m.colDual[c].minus(by)
		case m.reached[c]:
			m.reach[c] = m.reach[c].minus(by)
		}
	}
}
