// Package mutate asks whether tests bite: it changes one thing of a package at a time, a named constant
// or a comparison, runs the package's tests on the changed source, and tells what no test minded.
//
// The tree is never touched. A change is a file beside it, which go test is told to take in the place of
// the original (-overlay), so that several can be tried at once, and while somebody works.
package mutate
