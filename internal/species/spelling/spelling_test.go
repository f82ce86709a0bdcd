package spelling

import (
	"slices"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

func TestNormalise(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"case", "Oscar", "oscar"},
		{"spaces, hyphens and underscores", " Blood-red__jewel  cichlid ", "blood red jewel cichlid"},
		{"apostrophes vanish", "Boeseman's", "boesemans"},
		{"also typographic ones", "Boeseman’s Boeseman´s Boesemanʼs", "boesemans boesemans boesemans"},
		{"diacritics", "Ñandú Ǻ", "nandu a"},
		{"sharp s", "Großer GROẞER", "grosser grosser"},
		{"strokes and joined letters", "Rød Æble Łosoś", "rod aeble losos"},
		{"dotless and dotted i", "ıİiI", "iiii"},
		{"ligatures and long s", "ﬁſh", "fish"},
		{"full width", "Ｏｓｃａｒ", "oscar"},
		{"other scripts keep their letters", "金魚 Золотая", "金魚 золотая"},
		{"final sigma", "ΨΆΡΙΣ ψάρις", "ψαρισ ψαρισ"},
		{"invisible characters", "os\u200bcar\ufeff", "oscar"},
		{"numbers", "L-046 (½)", "l 046 1 2"},
		{"nothing but marks", "\u0301-'", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Normal(tt.in); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

// Latin letters are folded alike one by one and together.
func TestLatinIsFoldedLetterByLetter(t *testing.T) {
	all := make([]rune, latinEnd)
	for r := range all {
		all[r] = rune(r)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := string(rapid.SliceOf(rapid.SampledFrom(all)).Draw(t, "letters"))
		if got, ok := foldLatin(s); !ok || got != foldAny(s) {
			t.Fatalf("%q gave %q, together %q", s, got, foldAny(s))
		}
	})
	for _, other := range []string{"ψάρις", "a\u0301", "\xff"} {
		if got, ok := foldLatin(other); ok {
			t.Errorf("%q is not Latin, and gave %q", other, got)
		}
	}
}

func FuzzNormalise(f *testing.F) {
	for _, s := range []string{"Großer ŉ ﷺ", "A-b_c'd", "İ\u0345ᾳ", "\u1e9e", "ͅ", "\xff", "Ꮫ", "ꮫ"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		once := Normal(s)
		if twice := Normal(once); twice != once {
			t.Errorf("%q gave %q gave %q", s, once, twice)
		}
		var buf [usualName]byte
		if fast, ok := NormalASCII(buf[:0], s); ok && string(fast) != Squash(Fold(s)) {
			t.Errorf("%q gave %q on the fast way, %q on the slow one", s, fast, Squash(Fold(s)))
		}
	})
}

func TestTheBandedDistanceIsTheFullDistance(t *testing.T) {
	var e Editor
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SliceOfN(rapid.SampledFrom([]rune("abcé")), 0, 10)
		a, b := text.Draw(t, "a"), text.Draw(t, "b")
		limit := rapid.IntRange(1, 8).Draw(t, "limit")
		got, want := e.Distance(a, b, limit), min(fullDistance(a, b), limit+1)
		if got != want {
			t.Fatalf("%q to %q within %d: got %d, want %d", string(a), string(b), limit, got, want)
		}
	})
}

// fullDistance is the textbook recurrence over the whole table.
func fullDistance(a, b []rune) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		d[i][0] = i
	}
	for j := range d[0] {
		d[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}

func TestTheNormalFormOfEveryCharacterIsItsOwn(t *testing.T) {
	for r := rune(0); r <= unicode.MaxRune; r++ {
		if s := string(r); !unicode.Is(unicode.Cs, r) {
			if once := Normal(s); Normal(once) != once {
				t.Errorf("%U: %q gave %q gave %q", r, s, once, Normal(once))
			}
		}
	}
}

// asciiTable is all of ASCII but control characters, which no name has.
var asciiTable = &unicode.RangeTable{R16: []unicode.Range16{{Lo: ' ', Hi: '~', Stride: 1}}}

// TestPlainTextFoldsAsAnyTextDoes holds the short way for ASCII against the long one.
func TestPlainTextFoldsAsAnyTextDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom(nil, asciiTable)).Draw(t, "text")
		if a, b := Fold(text), foldAny(text); a != b {
			t.Fatalf("%q folds to %q and %q", text, a, b)
		}
	})
	if Fold("Größer") != foldAny("Größer") || slices.Equal([]rune(Fold("É")), []rune("É")) {
		t.Error("other letters are not folded")
	}
}
