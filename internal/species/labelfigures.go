package species

import (
	"slices"
	"strings"
	"unicode/utf8"

	"commensal/internal/species/labels"
)

// splitJoined cuts words for sex and colour off words in scripts that are written without spaces. A name
// among them stays whole: 金魚 is a goldfish and no golden fish.
func (t *nameTable) splitJoined(words []string) (out []string) {
	for _, w := range words {
		switch {
		case w == "" || labels.Tells(w) != 0:
			out = append(out, w)
		case w[0] < 0x80:
			out = append(out, t.splitCompound(w)...)
		case len(t.short(w)) > 0:
			out = append(out, w)
		default:
			if parts := t.aroundName(w); parts != nil {
				out = append(out, parts...)
			} else {
				out = append(out, labels.SplitWord(w)...)
			}
		}
	}
	return out
}

// splitCompound writes an abbreviation out, and takes the colour off a German compound: a Goldfadenfisch is a fadenfisch.
func (t *nameTable) splitCompound(w string) []string {
	if long, ok := labels.SpelledOut[w]; ok && !t.isWord(w) {
		return []string{long}
	}
	for _, front := range labels.CompoundFronts {
		rest, ok := strings.CutPrefix(w, front)
		if ok && len(rest) >= 4 && !t.inNames([]string{w})[0] && (labels.Tells(rest) != 0 || t.inNames([]string{rest})[0]) {
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
	if w == "" || w[0] < utf8.RuneSelf || labels.Tells(w) != 0 || s.names.isWord(w) || len(s.names.short(w)) > 0 {
		return "", w, ""
	}
	for end := len(w); end > 0; end-- {
		if _, ok := labels.Wholly(w[end:]); !ok {
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
		before, ok := labels.Wholly(w[:start])
		if !ok {
			continue
		}
		for end := len(w); end-start > longest; end-- {
			if end < len(w) && !utf8.RuneStart(w[end]) || !t.isWord(w[start:end]) {
				continue
			}
			if after, ok := labels.Wholly(w[end:]); ok {
				longest = end - start
				parts = slices.Concat(before, []string{w[start:end]}, after)
			}
		}
	}
	return parts
}
