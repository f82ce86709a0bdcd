// Package graph holds exact solvers for small conflict graphs, up to MaxVertices
// vertices: the cheapest vertices to leave out so that no edge remains (Cover), the
// fewest groups without an edge inside (Partition), and the best placing into given
// bins (Assign).
//
// It guarantees: an answer marked Optimal is proved; an answer that is not carries a
// lower bound that is valid all the same, so the stated gap never flatters; the same
// graph gives the same answer, whatever the order in which its edges were added.
// Work is bounded by a count of search nodes, never by a clock.
//
// Weights and costs are decimal fractions turned into whole multiples of 1e-6 before
// any comparison, so that ties are exact: 0.1 + 0.2 equals 0.3 here.
//
// It may be slow: all three problems are NP-hard. Within the node limit 60 vertices
// are solved at every edge density that was tried; 200 vertices are solved when the
// graph is sparse, dense or well structured, and answered with a gap otherwise.
package graph
