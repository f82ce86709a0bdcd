package loadtest

import (
	"os"
	"path/filepath"
	"testing"
)

func TestATableTakesThePlaceOfTheOneBefore(t *testing.T) {
	file := filepath.Join(t.TempDir(), "README.md")
	write := func(text string) {
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("above\n<!-- other: begin -->\nkept\n<!-- other: end -->\n<!-- speed: begin -->\nold\nolder\n<!-- speed: end -->\nbelow\n")
	for range 2 { // twice is as once
		if err := PutInto(file, "speed", "new\n"); err != nil {
			t.Fatal(err)
		}
		const want = "above\n<!-- other: begin -->\nkept\n<!-- other: end -->\n<!-- speed: begin -->\n\nnew\n\n<!-- speed: end -->\nbelow\n"
		if got, err := os.ReadFile(file); err != nil || string(got) != want {
			t.Errorf("%q, %v", got, err)
		}
	}
	for _, text := range []string{"", "<!-- speed: begin -->\n", "<!-- speed: end -->\n<!-- speed: begin -->\n"} {
		write(text)
		if err := PutInto(file, "speed", "new\n"); err == nil {
			t.Errorf("%q has a place", text)
		}
		if got, err := os.ReadFile(file); err != nil || string(got) != text {
			t.Errorf("%q was changed: %q, %v", text, got, err)
		}
	}
	if err := PutInto(file+".not", "speed", ""); err == nil {
		t.Error("a file that is none is no error")
	}
}
