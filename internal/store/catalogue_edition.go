package store

import (
	"fmt"
	"strings"
)

// Edition is an edition of the built-in catalogue, as a program brings it along.
type Edition struct {
	Number  int    // from 1; a later edition has a higher one
	Version string // of the program
}

// builtInNote begins the note of every revision that a program brought along.
const builtInNote = "built-in catalogue"

// Note is the note of a revision that holds the edition, by which another program knows it again.
func (e Edition) Note() string {
	return fmt.Sprintf("%s, edition %d, of commensal %s", builtInNote, e.Number, e.Version)
}

// Edition is which edition of the built-in catalogue the revision holds: 0 for one from before they were
// numbered. ok is false for what somebody loaded, changed or went back to.
func (r Revision) Edition() (number int, ok bool) {
	rest, ok := strings.CutPrefix(r.Note, builtInNote)
	if !ok || r.KeyID != "" {
		return 0, false
	}
	if _, err := fmt.Sscanf(rest, ", edition %d, of commensal ", &number); err != nil {
		return 0, true
	}
	return number, true
}

// givesWayTo reports whether an edition may replace the revision unasked.
func (r Revision) givesWayTo(edition int) bool {
	held, ok := r.Edition()
	return ok && held <= edition
}
