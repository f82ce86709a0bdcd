package records

import "testing"

// No field takes a tab or a line end; a cell that began with one would be marked all the same.
func TestCellsThatAFormulaCouldHideInAreMarked(t *testing.T) {
	for cell, want := range map[string]string{
		"\t=1": "'\t=1", "\r=1": "'\r=1", "\n=1": "'\n=1", "=1": "'=1", "": "", "a=1": "a=1", "12 guppies": "12 guppies", "'=1": "'=1",
	} {
		if got := harmless(cell); got != want {
			t.Errorf("harmless(%q) = %q, want %q", cell, got, want)
		}
	}
}
