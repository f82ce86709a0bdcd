package graph

import "math"

// noLimit is the room of a group or bin that holds any load.
const noLimit = math.MaxInt64

// loadsInSteps turns loads into whole steps of 1e-6; nil means 0 each.
func loadsInSteps(n int, load []float64) ([]int64, error) {
	out := make([]int64, n)
	if load == nil {
		return out, nil
	}
	if len(load) != n {
		return nil, ErrSize
	}
	for v, l := range load {
		if !(l >= 0 && l <= MaxWeight) {
			return nil, ErrLoad
		}
		out[v] = int64(math.Round(l * steps))
	}
	return out, nil
}

// roomInSteps turns a room into whole steps. More room than all loads together can
// fill is no limit.
func roomInSteps(unlimited bool, room float64) (int64, error) {
	switch {
	case unlimited:
		return noLimit, nil
	case !(room >= 0):
		return 0, ErrLoad
	case room >= MaxWeight*MaxVertices:
		return noLimit, nil
	}
	return int64(math.Round(room * steps)), nil
}
