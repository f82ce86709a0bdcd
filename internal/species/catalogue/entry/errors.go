package entry

import (
	"errors"
	"fmt"
	"strings"
)

// MaxErrors is the most faults that one reading reports.
const MaxErrors = 100

// ErrNotText means that a catalogue holds something that the text format cannot:
// a number below zero, an unknown word, an id that is not made from the name.
var ErrNotText = errors.New("catalogue: the text format cannot hold this")

// LineError is one fault of a text file.
type LineError struct {
	File    string
	Line    int    // from 1
	Species string // the scientific name of the block, or empty
	Field   string // for example "trait length", or empty
	Detail  string
}

// Error is the fault as editors and people read it: file:line: field: detail.
func (e LineError) Error() string {
	if e.Field == "" {
		return fmt.Sprintf("%s:%d: %s", e.File, e.Line, e.Detail)
	}
	return fmt.Sprintf("%s:%d: %s: %s", e.File, e.Line, e.Field, e.Detail)
}

// Errors are all faults found, in the order of the text, at most [MaxErrors].
type Errors []LineError

// Error lists the faults, one a line.
func (e Errors) Error() string {
	lines := make([]string, len(e), len(e)+1)
	for i, le := range e {
		lines[i] = le.Error()
	}
	if len(e) >= MaxErrors {
		lines = append(lines, fmt.Sprintf("only the first %d faults are listed", MaxErrors))
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives each fault to errors.As.
func (e Errors) Unwrap() []error {
	out := make([]error, len(e))
	for i, le := range e {
		out[i] = le
	}
	return out
}

// Add appends a fault while there is room.
func (e *Errors) Add(le LineError) {
	if len(*e) < MaxErrors {
		*e = append(*e, le)
	}
}

// OrNil is e as an error, nil when there are none.
func (e Errors) OrNil() error {
	if len(e) == 0 {
		return nil
	}
	return e
}
