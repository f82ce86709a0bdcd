package graph

import (
	"math/bits"
	"slices"
)

// setRoom reads loads and rooms.
func (a *assigner) setRoom(o AssignOptions) error {
	var err error
	if a.load, err = loadsInSteps(len(a.adj), o.Load); err != nil {
		return err
	}
	if o.Load != nil && len(o.Room) != len(a.open) {
		return ErrSize
	}
	a.free = make([]int64, len(a.open))
	for b := range a.free {
		room := 0.0
		if o.Load != nil {
			room = o.Room[b]
		}
		if a.free[b], err = roomInSteps(o.Load == nil, room); err != nil {
			return err
		}
	}
	if o.Load != nil {
		a.sortByDensity()
	}
	return nil
}

// sortByDensity prepares the knapsack bound.
func (a *assigner) sortByDensity() {
	a.dense = make([]int, len(a.adj))
	for v := range a.dense {
		a.dense[v] = v
		a.unit = divisor(a.w[v], a.unit)
	}
	slices.SortStableFunc(a.dense, func(u, v int) int {
		return compareProducts(a.w[v], a.load[u], a.w[u], a.load[v])
	})
}

// divisor is the greatest common divisor.
func divisor(x, y int64) int64 {
	for y != 0 {
		x, y = y, x%y
	}
	return x
}

// compareProducts compares x1*x2 with y1*y2, none negative, in 128 bits.
func compareProducts(x1, x2, y1, y2 int64) int {
	xh, xl := bits.Mul64(uint64(x1), uint64(x2))
	yh, yl := bits.Mul64(uint64(y1), uint64(y2))
	switch {
	case xh < yh || xh == yh && xl < yl:
		return -1
	case xh > yh || xl > yl:
		return 1
	}
	return 0
}

// roomPrice bounds the price of placing left by the free room alone: the densest
// vertices fill it, the last one in part; the weight that remains is lost, rounded up
// to what weights can add up to. The cost is no less than all places that pay.
func (a *assigner) roomPrice(left Set) price {
	room := a.freeFor(left)
	p := price{cost: a.gains(left)}
	for _, v := range a.dense {
		if !left.in(v) {
			continue
		}
		if a.load[v] <= room {
			room -= a.load[v]
			continue
		}
		hi, lo := bits.Mul64(uint64(a.w[v]), uint64(room))
		part, _ := bits.Div64(hi, lo, uint64(a.load[v])) // room < load, so it fits
		p.lost += a.w[v] - int64(part)
		room = 0
	}
	p.lost = (p.lost + a.unit - 1) / a.unit * a.unit
	return p
}

// freeFor is the room that left can use: of each bin what is free, at most the load
// of all of left.
func (a *assigner) freeFor(left Set) int64 {
	var need, room int64
	for v := left.Next(0); v >= 0; v = left.Next(v + 1) {
		need += a.load[v]
	}
	for b, free := range a.free {
		if a.open[b].Meets(left) {
			room += min(free, need)
		}
	}
	return room
}

// gains is the sum of the negative costs that left could earn.
func (a *assigner) gains(left Set) int64 {
	var sum int64
	for v := left.Next(0); v >= 0; v = left.Next(v + 1) {
		if b := a.cheapest(v); b >= 0 {
			sum += min(0, a.cost[b][v])
		}
	}
	return sum
}
