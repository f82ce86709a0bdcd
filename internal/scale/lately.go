package scale

import "container/list"

// Lately is the plainest cache: it holds what was asked for lately, and lets go what was not for the longest time. With the
// same draws it has the same share each time.
type Lately struct {
	most  int
	order *list.List // of Pair, the latest first
	at    map[Pair]*list.Element
}

// NewLately makes one of so many answers, at least one.
func NewLately(answers int) *Lately {
	return &Lately{most: max(1, answers), order: list.New(), at: map[Pair]*list.Element{}}
}

// Has reports whether an answer is held, and counts as asking for it.
func (l *Lately) Has(p Pair) bool {
	e, ok := l.at[p]
	if ok {
		l.order.MoveToFront(e)
	}
	return ok
}

// Put holds an answer that is not held.
func (l *Lately) Put(p Pair) {
	if l.order.Len() >= l.most {
		oldest := l.order.Back()
		delete(l.at, oldest.Value.(Pair))
		l.order.Remove(oldest)
	}
	l.at[p] = l.order.PushFront(p)
}
