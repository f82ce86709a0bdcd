package labels

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// ScriptsApart cuts words between Latin letters or digits and scripts that are written without spaces: Lサイズ, 10匹.
func ScriptsApart(words []string) (out []string) {
	for _, w := range words {
		from := 0
		for i := 1; i < len(w); i++ {
			if utf8.RuneStart(w[i]) && (w[i] < utf8.RuneSelf) != (w[i-1] < utf8.RuneSelf) {
				out = append(out, w[from:i])
				from = i
			}
		}
		out = append(out, w[from:])
	}
	return out
}

// Wholly splits text into words of labels; ok is false where it holds anything else.
func Wholly(text string) (words []string, ok bool) {
	for text != "" {
		i := slices.IndexFunc(joinedWords, func(q string) bool { return strings.HasPrefix(text, q) })
		if i < 0 {
			return nil, false
		}
		words, text = append(words, joinedWords[i]), text[len(joinedWords[i]):]
	}
	return words, true
}

// SplitWord cuts words of labels off both ends of a word that is written without spaces.
func SplitWord(w string) []string {
	if w == "" || Tells(w) != 0 {
		return []string{w}
	}
	for _, q := range joinedWords {
		if rest, ok := strings.CutPrefix(w, q); ok && rest != "" {
			return append([]string{q}, SplitWord(rest)...)
		}
		if rest, ok := strings.CutSuffix(w, q); ok && rest != "" {
			return append(SplitWord(rest), q)
		}
	}
	return []string{w}
}
