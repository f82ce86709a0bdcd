package labels_test

import (
	"slices"
	"strings"
	"testing"

	"commensal/internal/species/labels"
	"commensal/internal/species/spelling"
)

func TestFiguresOfALabel(t *testing.T) {
	for _, c := range []struct {
		label, rest string
		lengthCM    float64
		count       int
	}{
		{"6x neon tetra", "neon tetra", 0, 6},
		{"oscar 5-7 cm", "oscar", 6, 0},
		{"oscar 2 inch", "oscar", 5.08, 0},
		{"discus 60mm (x 4)", "discus", 6, 4},
		{"pleco l 046", "pleco l46", 0, 0},
		{"rotkopfsalmler", "rotkopfsalmler", 0, 0},
	} {
		rest, length, count := labels.Figures(c.label)
		if got := strings.Join(strings.Fields(rest), " "); got != c.rest || length != c.lengthCM || count != c.count {
			t.Errorf("%q: %q, %v cm, %d; want %q, %v cm, %d", c.label, got, length, count, c.rest, c.lengthCM, c.count)
		}
	}
}

func TestCodesOfTheTrade(t *testing.T) {
	for w, want := range map[string]string{"l46": "l", "lda25": "lda", "cw10": "cw", "l": "", "46": "", "xl46": "", "l1234": ""} {
		if got, ok := labels.Code(w); got != want || ok != (want != "") {
			t.Errorf("%q: %q %v, want %q", w, got, ok, want)
		}
	}
}

func TestOneNounStandsForAnother(t *testing.T) {
	for _, c := range []struct{ name, other string }{
		{"bronze cory", "bronze corydoras"},
		{"red eye tetra", "red eyed tetra"},
		{"gamba cristal", "camaron cristal"},
	} {
		if got := labels.Variants(c.name); got[0] != c.name || !slices.Contains(got, c.other) {
			t.Errorf("%q: %q, want %q among them", c.name, got, c.other)
		}
	}
	if a, b := labels.InAnyOrder([]string{"corydoras", "bronze"}), labels.InAnyOrder([]string{"bronze", "cory"}); a != b {
		t.Errorf("%q and %q", a, b)
	}
	if got := labels.Variants("oscar"); !slices.Equal(got, []string{"oscar"}) {
		t.Errorf("oscar: %q", got)
	}
}

func TestWordsWithoutSpacesAreTakenApart(t *testing.T) {
	if got := labels.ScriptsApart([]string{"Lサイズ", "10匹", "oscar"}); !slices.Equal(got, []string{"L", "サイズ", "10", "匹", "oscar"}) {
		t.Errorf("got %q", got)
	}
	if got := labels.SplitWord(spelling.Normal("ワイルドメダカ")); len(got) != 2 || labels.Tells(got[0]) != labels.Kind || labels.Tells(got[1]) != 0 {
		t.Errorf("got %q", got)
	}
	if got := labels.OneSpelling([]string{"gold", "long", "fin", "veil", "tail"}); !slices.Equal(got, []string{"gold", "longfin", "longfin"}) {
		t.Errorf("got %q", got)
	}
}
