package validate

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Nearest is the word most like a misspelt one, if any is like it: at most a third of
// its letters are slips.
func Nearest(word string, words []string) (string, bool) {
	if len(word) > 64 {
		return "", false
	}
	best, least := "", len(word)
	for _, w := range words {
		if n := slips(strings.ToLower(word), w); n < least && 3*n <= max(len(w), len(word)) {
			best, least = w, n
		}
	}
	return best, best != ""
}

// slips is the Levenshtein distance of two short texts in bytes.
func slips(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		corner := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := corner
			if a[i] != b[j] {
				cost++
			}
			corner = row[j+1]
			row[j+1] = min(cost, row[j]+1, corner+1)
		}
	}
	return row[len(b)]
}

// maxEcho is the most characters of an input that an answer repeats.
const maxEcho = 40

// Printable is the start of an input, safe to repeat.
func Printable(s string) string {
	var b strings.Builder
	for n := 0; s != "" && n < maxEcho; n++ {
		r, width := utf8.DecodeRuneInString(s)
		if !unicode.IsGraphic(r) {
			r = utf8.RuneError
		}
		b.WriteRune(r)
		s = s[width:]
	}
	return b.String()
}

// lowerFirst lowers an ASCII first letter, to put a sentence behind a colon.
func lowerFirst(s string) string {
	if s != "" && 'A' <= s[0] && s[0] <= 'Z' {
		return string(s[0]+'a'-'A') + s[1:]
	}
	return s
}
