//go:build linux && race

package torture

// The program is built as the tests are: with the race detector where they have it.
const buildFlag = "-race"
