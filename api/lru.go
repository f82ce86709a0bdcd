package api

import (
	"container/list"
	"sync"
)

// lru keeps the most recently used values, at most size of them. A size of zero or
// less keeps none.
type lru[K comparable, V any] struct {
	mu    sync.Mutex
	size  int
	order *list.List // of entry[K, V], most recent first
	byKey map[K]*list.Element
}

type entry[K comparable, V any] struct {
	key   K
	value V
}

func newLRU[K comparable, V any](size int) *lru[K, V] {
	return &lru[K, V]{size: size, order: list.New(), byKey: map[K]*list.Element{}}
}

// get returns the value of a key and marks it as used.
func (c *lru[K, V]) get(key K) (value V, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.byKey[key]
	if !ok {
		return value, false
	}
	c.order.MoveToFront(e)
	return e.Value.(entry[K, V]).value, true
}

// put keeps a value, and drops the longest unused one where there is no room.
func (c *lru[K, V]) put(key K, value V) {
	if c.size <= 0 {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.byKey[key]; ok {
		e.Value = entry[K, V]{key, value}
		c.order.MoveToFront(e)
		return
	}
	if c.order.Len() >= c.size {
		last := c.order.Back()
		delete(c.byKey, last.Value.(entry[K, V]).key)
		c.order.Remove(last)
	}
	c.byKey[key] = c.order.PushFront(entry[K, V]{key, value})
}

func (c *lru[K, V]) len() int {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.order.Len()
}
