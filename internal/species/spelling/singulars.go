package spelling

import (
	"strings"
	"unicode/utf8"
)

// leastGerman is the length of the shortest word whose German plural is known.
const leastGerman = 7

// Singulars lists the words whose regular plural the last word of key may be:
// "oscars", "guppies" and "cories", "discuses" and "loaches", and in German "Fadenfische" and "Barben".
func Singulars(key string) []string {
	last := key[strings.LastIndexByte(key, ' ')+1:]
	if len(last) >= leastGerman && last[0] < utf8.RuneSelf {
		switch {
		case strings.HasSuffix(last, "en"):
			return []string{key[:len(key)-1], key[:len(key)-2]}
		case strings.HasSuffix(last, "e"), strings.HasSuffix(last, "n"):
			return []string{key[:len(key)-1]}
		}
	}
	if len(last) < 4 || !strings.HasSuffix(last, "s") || strings.HasSuffix(last, "ss") {
		return nil
	}
	out := []string{key[:len(key)-1]}
	if len(last) < len(key) {
		out = append(out, singularWords(key))
	}
	if strings.HasSuffix(last, "ies") {
		out = append(out, key[:len(key)-3]+"y")
	}
	if strings.HasSuffix(last, "es") {
		out = append(out, key[:len(key)-2])
	}
	return out
}

// singularWords takes the plural off each word of a name in French, Spanish or Portuguese: "neones cardenales",
// "porte-épées rouges".
func singularWords(key string) string {
	words := strings.Fields(key)
	for i, w := range words {
		bare, ok := strings.CutSuffix(w, "s")
		switch {
		case !ok || len(w) < 4:
		case len(w) > 5 && (strings.HasSuffix(bare, "ne") || strings.HasSuffix(bare, "le") || strings.HasSuffix(bare, "re")):
			words[i] = bare[:len(bare)-1]
		default:
			words[i] = bare
		}
	}
	return strings.Join(words, " ")
}
