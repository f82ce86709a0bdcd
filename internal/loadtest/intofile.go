package loadtest

import (
	"bytes"
	"fmt"
	"os"
)

// PutInto puts a text into a document, in the place of the one before: between the lines
// <!-- name: begin --> and <!-- name: end -->, with an empty line on each side.
func PutInto(file, name, text string) error {
	begin, end := "<!-- "+name+": begin -->\n", "<!-- "+name+": end -->"
	whole, err := os.ReadFile(file)
	if err != nil {
		return fmt.Errorf("loadtest: %w", err)
	}
	before, rest, begun := bytes.Cut(whole, []byte(begin))
	_, after, ended := bytes.Cut(rest, []byte(end))
	if !begun || !ended {
		return fmt.Errorf("loadtest: %s has no place for a table: it lacks the lines %q and %q", file, begin[:len(begin)-1], end)
	}
	if err := os.WriteFile(file, fmt.Appendf(nil, "%s%s\n%s\n%s%s", before, begin, text, end, after), 0o644); err != nil {
		return fmt.Errorf("loadtest: %w", err)
	}
	return nil
}
