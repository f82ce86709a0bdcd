package graph

import "errors"

// The errors of bad input. A Graph keeps its first one (Graph.Err); the solvers
// return one in the Err field of their result and then solve nothing.
var (
	// ErrSize reports a number of vertices or bins outside the allowed range, or a
	// list or graph whose size is not the number of vertices.
	ErrSize = errors.New("graph: size out of range or not matching")
	// ErrVertex reports a vertex that the graph does not have.
	ErrVertex = errors.New("graph: no such vertex")
	// ErrLoop reports an edge from a vertex to itself.
	ErrLoop = errors.New("graph: edge from a vertex to itself")
	// ErrWeight reports a weight that is not above 0 and at most MaxWeight.
	ErrWeight = errors.New("graph: weight out of range")
	// ErrLoad reports a load that is negative, not a number or above MaxWeight, or a
	// room that is negative or not a number.
	ErrLoad = errors.New("graph: load or room out of range")
	// ErrCost reports a cost that is not a number or is beyond MaxWeight either way.
	ErrCost = errors.New("graph: cost out of range")
)
