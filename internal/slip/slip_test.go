package slip

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestNoLineIsLongerThanThePaperAndNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(minWidth, 80).Draw(t, "width")
		text := strings.Join(rapid.SliceOfN(rapid.StringMatching(`[a-zé×°]{1,90}`), 0, 12).Draw(t, "words"), " ")
		w := New(width)
		lead := rapid.SampledFrom([]string{"", "  ", "ASK "}).Draw(t, "lead")
		w.Text(lead, rapid.IntRange(0, 6).Draw(t, "indent"), text)
		for line := range strings.Lines(w.String()) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > width {
				t.Fatalf("%q has %d characters", line, n)
			}
		}
		if without := strings.NewReplacer(" ", "", "\n", ""); without.Replace(w.String()) != without.Replace(lead+text) {
			t.Fatalf("%q became %q", lead+text, w.String())
		}
	})
}

func TestASentenceLosesOnlyTheDecisionAtItsHead(t *testing.T) {
	for _, c := range [][3]string{
		{"Hold: Oscars eat guppies.", "hold", "Oscars eat guppies."}, {"Guppies: 6 will do.", "proceed", "Guppies: 6 will do."},
		{"Everyone finds a tank.", "", "Everyone finds a tank."},
	} {
		if got := sentence(c[0], c[1]); got != c[2] {
			t.Errorf("%q became %q", c[0], got)
		}
	}
}
