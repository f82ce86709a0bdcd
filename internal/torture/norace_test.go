//go:build linux && !race

package torture

// The program is built as the tests are: without the race detector.
const buildFlag = "-race=false"
