package localcli

import (
	"commensal/internal/terminal"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestWrappingKeepsEveryWordAndTheWidth(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-zé°×-]{1,90}`)).Draw(t, "words")
		indent := strings.Repeat(" ", rapid.IntRange(0, 30).Draw(t, "indent"))
		got := Layout{}.wrap(indent, indent, strings.Join(words, "  "))
		if back := strings.Fields(got); strings.Join(back, " ") != strings.Join(words, " ") {
			t.Fatalf("the words changed: %q", back)
		}
		for _, line := range strings.Split(got, "\n") {
			if runes(line) > terminal.Customary && len(strings.Fields(line)) > 1 {
				t.Fatalf("%q has %d characters", line, runes(line))
			}
			if !strings.HasPrefix(line, indent) {
				t.Fatalf("%q is not indented", line)
			}
		}
	})
}

// Breaking as late as possible: the first word of a line would not have fitted before.
func TestALineIsBrokenOnlyWhenItIsFull(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-z]{1,30}`)).Draw(t, "words")
		lines := strings.Split(Layout{}.wrap("", "", strings.Join(words, " ")), "\n")
		for i := 1; i < len(lines); i++ {
			first, _, _ := strings.Cut(lines[i], " ")
			if runes(lines[i-1])+1+runes(first) <= terminal.Customary {
				t.Fatalf("%q had room for %q", lines[i-1], first)
			}
		}
	})
}

func TestNumbersHaveTwoDecimalsAtMost(t *testing.T) {
	t.Parallel()
	for x, want := range map[float64]string{6: "6", 24.5: "24.5", 6.666: "6.67", 0.004: "0", -0.7: "-0.7", 100: "100"} {
		if got := number(x); got != want {
			t.Errorf("%v is written %s, want %s", x, got, want)
		}
	}
}
