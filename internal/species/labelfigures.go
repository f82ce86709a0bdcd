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
	labelCount = regexp.MustCompile(`^\s*(\d{1,4})\s*[x×*]\s+|^\s*(\d{1,4})\s+|[\s(][x×]\s*(\d{1,4})\s*\)?\s*$|[\s(](\d{1,4})\s*(?:匹|尾|只|条|pcs|stk|uds)\s*\)?\s*$`)
	labelLCode = regexp.MustCompile(`\b(lda|l|cw|c)[\s-]*0*(\d{1,3})\b`)
	shopCode   = regexp.MustCompile(`^(lda|l|cw|c)\d{1,3}$`)
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
		for _, group := range []int{2, 4, 6, 8} {
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
		case w == "" || labelWords[w] != 0:
			out = append(out, w)
		case w[0] < 0x80:
			out = append(out, t.splitCompound(w)...)
		case len(t.short(w)) > 0:
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

// scriptsApart cuts words between Latin letters or digits and scripts that are written without spaces: Lサイズ, 10匹.
func scriptsApart(words []string) (out []string) {
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

// splitCompound writes an abbreviation out, and takes the colour off a German compound: a Goldfadenfisch is a fadenfisch.
func (t *nameTable) splitCompound(w string) []string {
	if long, ok := spelledOut[w]; ok && !t.isWord(w) {
		return []string{long}
	}
	for _, front := range compoundFronts {
		rest, ok := strings.CutPrefix(w, front)
		if ok && len(rest) >= 4 && !t.inNames([]string{w})[0] && (labelWords[rest] != 0 || t.inNames([]string{rest})[0]) {
			return []string{front, rest}
		}
	}
	return []string{w}
}

// apartFromStrain cuts the name of a kind that is bred in strains off the strain before or behind it, in scripts without
// spaces: 楊貴妃メダカ.
func (s *Snapshot) apartFromStrain(words []string) (out []string) {
	for _, w := range words {
		before, name, after := s.strainIn(w)
		for _, part := range []string{before, name, after} {
			if part != "" {
				out = append(out, part)
			}
		}
	}
	return out
}

// strainIn finds the longest name of a kind bred in strains that a word ends in, but for words of labels, or else starts
// with; name is the whole word where it has none, or is a name.
func (s *Snapshot) strainIn(w string) (before, name, after string) {
	if w == "" || w[0] < utf8.RuneSelf || labelWords[w] != 0 || s.names.isWord(w) || len(s.names.short(w)) > 0 {
		return "", w, ""
	}
	for end := len(w); end > 0; end-- {
		if _, ok := wholly(w[end:]); !ok {
			continue
		}
		for at := range w[:end] {
			if s.inStrains(w[at:end]) {
				return w[:at], w[at:end], w[end:]
			}
		}
	}
	for at := len(w) - 1; at > 0; at-- {
		if utf8.RuneStart(w[at]) && s.inStrains(w[:at]) {
			return "", w[:at], w[at:]
		}
	}
	return "", w, ""
}

// inStrains reports whether a word is the name of one kind that is bred in strains.
func (s *Snapshot) inStrains(w string) bool {
	claims, _ := s.names.exact(w)
	return len(claims) == 1 && s.bredInStrains(claims[0])
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
