package synthetic

import "strings"

// The syllables that names are counted in; no two of them make the same start, so
// that different numbers make different names.
var (
	consonants = []string{"b", "d", "f", "g", "k", "l", "m", "n", "p", "r", "t", "v", "z"}
	vowels     = []string{"a", "e", "i", "o", "u"}
)

// genusSize is how many species share a genus: congeners matter to the model.
const genusSize = 4

// genusOf is the number of the i-th species' genus. The species of a genus are of one
// kind, as the kinds take turns.
func genusOf(i int) int { return i/(genusSize*len(kinds))*len(kinds) + i%len(kinds) }

// scientificName is the i-th name.
func scientificName(i int) string {
	return title(syllables(genusOf(i), 3)) + "x " + epithet(i)
}

// epithet is the i-th species name.
func epithet(i int) string { return syllables(i, 3) + "nus" }

// syllables writes i in syllables, lowest first, with at least the given number of
// them: a number system with 65 digits, each a consonant and a vowel.
func syllables(i, least int) string {
	var b strings.Builder
	for n := 0; n < least || i > 0; n++ {
		digit := i % (len(consonants) * len(vowels))
		b.WriteString(consonants[digit%len(consonants)])
		b.WriteString(vowels[digit/len(consonants)])
		i /= len(consonants) * len(vowels)
	}
	return b.String()
}

func title(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
