package additions

import (
	"slices"

	"commensal/internal/conflict"
)

// Species that may be among the best are scored with the lines of the list together, a few at a time: that costs a
// fraction of one after the other.
const (
	// atOnce is how many wait for each other. Fewer are scored in vain where they are few, more cost less each.
	atOnce = 32
	// linesAtOnce is with how many lines they are scored before those are left out that cannot be among the best any more.
	linesAtOnce = 4
	// pairUnit is what a pairing costs then, in units of the budget.
	pairUnit = 1.0 / 4
)

// waiting is a species that waits to be scored.
type waiting struct {
	rank   rank
	count  int
	group  *conflict.Profile // as it joins
	values []float64         // scores with each line, its own kind last
	column int               // its place among those that are scored
	last   bool              // it comes as its customary group already
}

// wait has a species scored with others. With last it is told of as it is, whether it fits or not.
func (sc *ranking) wait(w *candidate, last bool) {
	if sc.queue == nil {
		sc.queue, sc.weighed = make([]waiting, 0, atOnce), make([]waiting, 0, atOnce)
	}
	sc.queue = append(sc.queue, waiting{rank: w.rank, count: w.count, last: last})
	if len(sc.queue) >= atOnce && !sc.weighing {
		sc.weighWaiting()
	}
}

// weighWaiting weighs those who wait, and keeps them where they are among the best. A species joins as its smallest
// group; what does not fit so waits once more, as the customary group.
func (sc *ranking) weighWaiting() {
	queue := sc.queue
	sc.queue, sc.weighed, sc.weighing = sc.weighed[:0], queue, true
	defer func() { sc.weighing = false }()
	if sc.base.Budget.Stopped() {
		return
	}
	queue = sc.meetTogether(queue)
	for i := range queue {
		if i > 0 && sc.spent(sc.share) {
			break
		}
		sc.settle(&queue[i])
	}
	sc.orderLines()
}

// takeUp makes a species that waits the last line of the list again.
func (sc *ranking) takeUp(q *waiting) candidate {
	w := sc.resume(q.rank, q.count)
	if q.group == nil {
		q.group = sc.profile(q.rank.index, q.count)
	}
	sc.ready(&w, q.group)
	return w
}

// meetTogether scores those who wait with every line, and returns those that may still be among the best.
func (sc *ranking) meetTogether(queue []waiting) []waiting {
	queue = keepIf(queue, sc.enter)
	n := len(sc.base.Lines)
	values := make([]float64, len(queue)*(n+2))
	column := values[len(queue)*(n+1):]
	for i := range queue {
		queue[i].values = values[i*(n+1) : (i+1)*(n+1) : (i+1)*(n+1)]
	}
	joined := 0
	for some := range slices.Chunk(sc.order, linesAtOnce) {
		if len(queue) == 0 {
			break
		}
		if joined == 0 || 2*len(queue) <= joined { // those that dropped out are in the way
			sc.join(queue)
			joined = len(queue)
		}
		sc.base.Budget.Spend(int64(pairUnit * float64(len(some)*joined)))
		for _, k := range some {
			sc.beside.Scores(k, column)
			for i := range queue {
				queue[i].values[k] = column[queue[i].column]
			}
		}
		queue = keepIf(queue, func(q *waiting) bool { return sc.meetSome(q, some) })
	}
	return queue
}

// join has those who wait scored from now on.
func (sc *ranking) join(queue []waiting) {
	sc.groups = sc.groups[:0]
	for i := range queue {
		queue[i].column = i
		sc.groups = append(sc.groups, conflict.Group{Index: queue[i].rank.index, Line: queue[i].group})
	}
	sc.beside.Join(sc.groups)
}

// keepIf leaves in a queue who may stay, in order.
func keepIf(queue []waiting, stays func(*waiting) bool) []waiting {
	kept := queue[:0]
	for i := range queue {
		if stays(&queue[i]) {
			kept = append(kept, queue[i])
		}
	}
	return kept
}

// enter looks at what is cheaper than pairings, the cheapest first; false once a species cannot be among the best.
func (sc *ranking) enter(q *waiting) bool {
	if sc.hopeless(q.rank, true) {
		return false
	}
	w := sc.takeUp(q)
	sc.fit(&w)
	sc.meetRooms(&w)
	q.rank = w.rank
	return !sc.hopeless(q.rank, true)
}

// meetSome counts the scores of a species with some lines; false once it cannot be among the best.
func (sc *ranking) meetSome(q *waiting, lines []int) bool {
	w := sc.takeUp(q)
	for _, k := range lines {
		if sc.meet(&w, k, q.values[k]) {
			sc.blames[k]++
		}
	}
	q.rank = w.rank
	return !sc.hopeless(q.rank, true)
}

// settle looks at a species among its own and at the list with it, and keeps it if it is good enough. The scores are added up
// in order of line, so that no digit depends on the scan.
func (sc *ranking) settle(q *waiting) {
	w := sc.takeUp(q)
	n := len(sc.base.Lines)
	if w.count >= 2 {
		q.values[n] = sc.ownValue(&w)
		sc.meet(&w, n, q.values[n])
	}
	w.rank.sum = 0
	for _, v := range q.values {
		w.rank.sum += v
	}
	if sc.hopeless(w.rank, false) {
		return
	}
	if sc.meetList(&w); w.rank.reasons == 0 {
		sc.fitting.offer(placed{w.rank, w.count, q.values})
		return
	}
	if customary := sc.kinds[w.rank.index].customary; customary != w.count && !q.last {
		w = sc.begin(w.rank.index, w.rank.likeness, customary, false)
		sc.wait(&w, true)
		return
	}
	sc.below.offer(placed{w.rank, w.count, q.values})
}

// customary has species join as their customary groups where those fit as well: nobody is advised to buy fewer than is
// usual where there is room for them. Where the budget ends before that is known of a species, it is left out.
func (sc *ranking) customary(list []placed) []placed {
	sc.fitting, sc.below, sc.share = best{most: len(list)}, best{}, customaryShare
	tried := make(map[int]bool, len(list))
	for i := range list {
		if n := sc.kinds[list[i].rank.index].customary; n != list[i].count {
			if w := sc.begin(list[i].rank.index, list[i].rank.likeness, n, false); w.rank.reasons == 0 {
				sc.wait(&w, true)
				tried[w.rank.index] = true
			}
		}
	}
	for len(sc.queue) > 0 && !sc.spent(sc.share) {
		sc.weighWaiting()
	}
	cut := sc.spent(sc.share)
	for _, group := range sc.fitting.heap {
		i := slices.IndexFunc(list, func(p placed) bool { return p.rank.index == group.rank.index })
		delete(tried, group.rank.index)
		if stepped(group.rank.worst, list[i].rank.worst, worstStep) <= 0 {
			list[i] = group
		}
	}
	if cut {
		list = slices.DeleteFunc(list, func(p placed) bool { return tried[p.rank.index] })
	}
	return list
}

// orderLines puts the lines first that were in the way most often.
func (sc *ranking) orderLines() {
	slices.SortStableFunc(sc.order, func(a, b int) int { return sc.blames[b] - sc.blames[a] })
}
