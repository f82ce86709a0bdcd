package labels

import (
	"slices"
	"strings"

	"commensal/internal/species/spelling"
)

// ShortNouns are the nouns that people leave out: "congos", "a glowlight".
var ShortNouns = []string{
	"tetra", "rasbora", "barb", "danio", "cory", "corydoras", "loach", "gourami", "cichlid", "rainbowfish", "rainbow",
	"pleco", "catfish", "shrimp", "snail", "crayfish", "puffer", "pencilfish", "hatchetfish", "goby", "mbuna", "peacock", "shark",
	"goldfish", "minnow", "betta", "synodontis", "apisto", "killifish", "crab",
}

// nounClasses are nouns of the trade that mean the same.
var nounClasses = [][]string{
	{"cory", "corydoras", "corys", "cories", "corydora", "cory catfish", "cory cat"},
	{"pleco", "plec", "plecostomus", "plecos", "plecs", "pleko", "plecko"},
	{"rainbowfish", "rainbow", "rainbows"},
	{"killifish", "killi", "killis", "killie", "killies"},
	{"puffer", "pufferfish", "puffers"},
	{"synodontis", "syno", "synos", "squeaker"},
	{"apisto", "apistogramma", "apistos", "dwarf cichlid"},
	{"gourami", "gurami", "gouramies", "guramis", "gouramy"},
	{"shrimp", "shrimps", "prawn"},
	{"betta", "fighter", "siamese fighter", "fighting fish"},
	{"crayfish", "crawfish", "crays", "cray"},
	{"hatchetfish", "hatchet", "hatchets"},
	{"pencilfish", "pencil", "pencils"},
	{"otocinclus", "oto", "otos", "ottos"},
	{"tetra", "tetras"},
	{"loach", "loaches"},
	{"angelfish", "angel", "angels"},
	{"catfish", "cat", "cats"},
}

// frontNouns are nouns that stand in front, in Romance languages, and mean the same.
var frontNouns = [][]string{
	{"gamba", "camaron", "gambita", "quisquilla", "camarao"},
	{"caracol", "caramujo"},
	{"escalar", "pez angel"},
	{"barbo", "barb"},
	{"crevette", "caridine"},
}

// JoinedNouns are the nouns that people leave out behind a name in scripts without spaces, and add to one.
var JoinedNouns = normalised("テトラ", "コリドラス", "グラミー", "プレコ", "ラスボラ", "シュリンプ", "鱼", "魚")

// JoinedShort are nouns of such scripts and their short forms.
var JoinedShort = [][]string{normalised("コリドラス", "コリ"), normalised("エンゼルフィッシュ", "エンゼル")}

// normalised are names in the form in which they are compared.
func normalised(names ...string) []string {
	for i, n := range names {
		names[i] = spelling.Normal(n)
	}
	return names
}

// CompoundNouns are the nouns that people leave out of German compounds: ein Feuermaul.
var CompoundNouns = []string{"buntbarsch", "salmler", "barbe", "barbling", "panzerwels", "harnischwels", "schmerle", "karpfling"}

// CompoundFronts are first parts of German compounds that tell a colour or a strain, as in Goldfadenfisch, by their normal form.
var CompoundFronts = []string{"schleier", "spiegel", "silber", "schwarz", "marmor", "gold", "weiss", "gelb", "blau", "grun", "neon", "rot"}

// LeastCompound is the length of the shortest first part of a German compound that stands for it.
const LeastCompound = 5

// SpelledOut are abbreviations of labels.
var SpelledOut = map[string]string{
	"blk": "black", "wht": "white", "grn": "green", "yel": "yellow", "ylw": "yellow", "org": "orange", "slv": "silver", "gld": "gold", "brn": "brown",
	"lf": "longfin", "bn": "bristlenose",
}

// nouns are the nouns that stand for one another, and what stands for an unnamed species behind a genus.
var nouns = func() map[string]bool {
	out := map[string]bool{"sp": true, "spp": true, "species": true}
	for _, class := range slices.Concat(nounClasses, frontNouns) {
		for _, noun := range class {
			for w := range strings.FieldsSeq(noun) {
				out[w] = true
			}
		}
	}
	return out
}()

// IsNoun reports whether a word is such a noun.
func IsNoun(w string) bool { return nouns[w] }

// bodyPart are the two ways to say which part of a fish is meant: a red-eye tetra has red eyes.
var bodyPart = func() map[string]string {
	out := map[string]string{}
	for pair := range strings.FieldsSeq(`eye/eyed fin/finned tail/tailed line/lined band/banded stripe/striped spot/spotted nose/nosed belly/bellied
		head/headed back/backed lip/lipped cheek/cheeked mouth/mouthed side/sided throat/throated bar/barred`) {
		noun, adjective, _ := strings.Cut(pair, "/")
		out[noun], out[adjective] = adjective, noun
	}
	return out
}()

// OtherPart is the other way to say which part of a fish is meant: eyed for eye; empty where a word says none.
func OtherPart(w string) string { return bodyPart[w] }

// inOtherWords writes the parts of a fish in a name the other way; ok is false where it names none.
func inOtherWords(text string) (other string, ok bool) {
	words := strings.Fields(text)
	for i, w := range words {
		if o := bodyPart[w]; o != "" {
			words[i], ok = o, true
		}
	}
	return strings.Join(words, " "), ok
}

// Variants are the ways to write a name whose noun has several: cory, corydoras.
func Variants(text string) []string {
	out := []string{text}
	if other, ok := inOtherWords(text); ok {
		out = append(out, other)
	}
	if first, rest, ok := strings.Cut(text, " "); ok {
		for _, class := range frontNouns {
			if slices.Contains(class, first) {
				for _, noun := range class {
					if noun != first {
						out = append(out, noun+" "+rest)
					}
				}
			}
		}
	}
	at := strings.LastIndexByte(text, ' ') + 1
	for _, class := range nounClasses {
		if slices.Contains(class, text[at:]) {
			for _, noun := range class {
				if noun != text[at:] {
					out = append(out, text[:at]+noun)
				}
			}
		}
	}
	return out
}

// InAnyOrder is one key for all orders of some words, with one noun for all that mean the same.
func InAnyOrder(words []string) string {
	sorted := make([]string, len(words))
	for i, w := range words {
		sorted[i] = w
		for _, class := range nounClasses {
			if slices.Contains(class, w) {
				sorted[i] = class[0]
			}
		}
	}
	slices.Sort(sorted)
	return strings.Join(sorted, " ")
}
