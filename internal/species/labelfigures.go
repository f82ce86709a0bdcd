package species

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Figures of a label that are no part of a name: sizes, and how many.
var (
	labelSize  = regexp.MustCompile(`(?:^|[\s(,-])(\d{1,3}(?:[.,]\d{1,2})?)\s*(?:(?:-|–|—|/|to|bis|a|~)\s*(\d{1,3}(?:[.,]\d{1,2})?)\s*)?(cm|mm|inches|inch|in|"|''|”)(?:$|[\s).,+-])`)
	labelCount = regexp.MustCompile(`^\s*(\d{1,4})\s*[x×*]\s+|^\s*(\d{1,4})\s+|[\s(][x×]\s*(\d{1,4})\s*\)?\s*$`)
	labelLCode = regexp.MustCompile(`\b(lda|l)[\s-]*0*(\d{1,3})\b`)
)

// centimetres is a unit of a label in cm.
func centimetres(unit string) float64 {
	switch unit {
	case "cm":
		return 1
	case "mm":
		return 0.1
	}
	return 2.54
}

// readFigures takes size and count out of a folded label and gives back the rest.
func (l *Label) readFigures(folded string) string {
	folded = labelLCode.ReplaceAllString(folded, "$1$2")
	if at := labelSize.FindStringSubmatchIndex(folded); at != nil {
		low := figure(folded[at[2]:at[3]])
		high := low
		if at[4] >= 0 {
			high = figure(folded[at[4]:at[5]])
		}
		l.LengthCM = (low + high) / 2 * centimetres(folded[at[6]:at[7]])
		folded = folded[:at[0]] + " " + folded[at[1]:]
	}
	if at := labelCount.FindStringSubmatchIndex(folded); at != nil {
		for _, group := range []int{2, 4, 6} {
			if at[group] >= 0 {
				l.Count, _ = strconv.Atoi(folded[at[group]:at[group+1]])
			}
		}
		folded = folded[:at[0]] + " " + folded[at[1]:]
	}
	return folded
}

// figure is a decimal with a point or a comma.
func figure(text string) float64 {
	x, _ := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	return x
}

// splitJoined cuts words for sex and colour off words in scripts that are written without spaces. A name
// among them stays whole: 金魚 is a goldfish and no golden fish.
func (t *nameTable) splitJoined(words []string) (out []string) {
	for _, w := range words {
		switch {
		case w == "" || w[0] < 0x80 || labelWords[w] != 0:
			out = append(out, w)
		default:
			if parts := t.aroundName(w); parts != nil {
				out = append(out, parts...)
			} else {
				out = append(out, splitWord(w)...)
			}
		}
	}
	return out
}

// aroundName splits a word into the longest name in it and the words of labels before and behind it; nil where
// anything else stands there, or no name.
func (t *nameTable) aroundName(w string) (parts []string) {
	longest := 0
	for start := range w {
		before, ok := wholly(w[:start])
		if !ok {
			continue
		}
		for end := len(w); end-start > longest; end-- {
			if end < len(w) && !utf8.RuneStart(w[end]) || !t.isWord(w[start:end]) {
				continue
			}
			if after, ok := wholly(w[end:]); ok {
				longest = end - start
				parts = slices.Concat(before, []string{w[start:end]}, after)
			}
		}
	}
	return parts
}

// wholly splits text into words of labels; ok is false where it holds anything else.
func wholly(text string) (words []string, ok bool) {
	for text != "" {
		i := slices.IndexFunc(joinedWords, func(q string) bool { return strings.HasPrefix(text, q) })
		if i < 0 {
			return nil, false
		}
		words, text = append(words, joinedWords[i]), text[len(joinedWords[i]):]
	}
	return words, true
}

func splitWord(w string) []string {
	if w == "" || labelWords[w] != 0 {
		return []string{w}
	}
	for _, q := range joinedWords {
		if rest, ok := strings.CutPrefix(w, q); ok && rest != "" {
			return append([]string{q}, splitWord(rest)...)
		}
		if rest, ok := strings.CutSuffix(w, q); ok && rest != "" {
			return append(splitWord(rest), q)
		}
	}
	return []string{w}
}
