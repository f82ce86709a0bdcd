// Package mutate asks whether tests bite: it changes one thing of a package at a time, a named constant
// or a comparison, runs the package's tests on the changed source, and tells what no test minded.
//
// The tree is never touched. A change is a file beside it, which the go tool is told to take in the place of
// the original (-overlay), so that several can be tried at once, and while somebody works.
//
// Most changes of a package share one build, in which constants are variables and comparisons can be turned;
// the test program is told by its environment which one holds. The quick tests are asked first, and the others
// only about what these do not mind.
package mutate
