package labels

import (
	"strings"

	"commensal/internal/species/spelling"
)

// OfTheWild reports whether a word says that an animal was caught.
func OfTheWild(w string) bool { return wildWords[w] }

// wildWords say that an animal was caught, by their normal form.
var wildWords = func() map[string]bool {
	out := map[string]bool{}
	for w := range strings.FieldsSeq("wild caught wc wf wildfang wildfange wildform naturform sauvage sauvages salvaje salvajes selvagem selvagens ワイルド ワイルド個体 野生 野采") {
		out[spelling.Normal(w)] = true
	}
	return out
}()

// longFins are words for fins drawn out by breeding, by their normal form.
var longFins = func() map[string]bool {
	out := map[string]bool{}
	for w := range strings.FieldsSeq("longfinned veil veiltail veiltailed schleier voile velo veu ロングフィン ベール 长鳍 长尾") {
		out[spelling.Normal(w)] = true
	}
	return out
}()

// OneSpelling writes the words for forms that are spelled in several ways in one. Long fins and veils are one: no kind is sold
// with both.
func OneSpelling(words []string) (out []string) {
	for i := 0; i < len(words); i++ {
		w, next := words[i], ""
		if i+1 < len(words) {
			next = words[i+1]
		}
		switch {
		case w == "long" && (next == "fin" || next == "fins" || next == "finned"):
			out = append(out, "longfin")
			i++
		case w == "veil" && next == "tail":
			out = append(out, "longfin")
			i++
		case longFins[w]:
			out = append(out, "longfin")
		default:
			out = append(out, w)
		}
	}
	return out
}
