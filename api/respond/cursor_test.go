package respond

import (
	"testing"
)

// FuzzCursor holds that a cursor is read only when it was written for the list.
func FuzzCursor(f *testing.F) {
	list := listOf{1, 2, 3, 4, 5, 6, 7, 8}
	f.Add(cursorAt(list, 5))
	f.Add(cursorAt(listOf{}, 5))
	f.Add("AQ")
	f.Fuzz(func(t *testing.T, text string) {
		at, err := readCursor(&text, list, 100)
		if err != nil {
			if _, ok := err.(*Fault); !ok {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		if at < 1 || at >= 100 || cursorAt(list, at) != text {
			t.Fatalf("%q was read as %d", text, at)
		}
	})
}
