package species

import "strings"

// GoodKind is what a label names that is no fish of the catalogue.
type GoodKind string

// The kinds of other goods. The animals among them eat fish, or are eaten.
const (
	GoodPlant     GoodKind = "plant"
	GoodHardscape GoodKind = "hardscape" // wood, rock, sand
	GoodFood      GoodKind = "food"
	GoodMedicine  GoodKind = "medicine"
	GoodEquipment GoodKind = "equipment"
	GoodFrog      GoodKind = "frog"
	GoodSalamand  GoodKind = "salamander" // axolotls and newts
	GoodTurtle    GoodKind = "turtle"
	GoodMarine    GoodKind = "marine"  // fish and other animals of the sea
	GoodInsect    GoodKind = "insect"  // water beetles, nymphs
	GoodReptile   GoodKind = "reptile" // snakes, crocodilians
)

// Animal reports whether it lives and moves.
func (k GoodKind) Animal() bool {
	switch k {
	case GoodFrog, GoodSalamand, GoodTurtle, GoodMarine, GoodInsect, GoodReptile:
		return true
	}
	return false
}

// OtherGood is something of the trade that is no fish of the catalogue.
type OtherGood struct {
	Kind GoodKind
	Word string // the word of the list by which it was known, in its normal form
}

// otherThan is what a label names where its last words are on the list of other goods and no name of
// a kind covers as many of them: "betta pellets", but not "rock shrimp".
func (t *nameTable) otherThan(words []string) *OtherGood {
	good, end := otherGood(words)
	if good == nil || end < len(words) {
		return nil
	}
	for at := 0; at+len(strings.Fields(good.Word)) <= len(words); at++ {
		if len(t.head(strings.Join(words[at:], " "))) > 0 {
			return nil
		}
	}
	return good
}

// otherGood knows other goods by the words of a label, the longest run of them that is on the
// list, and tells where it ends.
func otherGood(words []string) (good *OtherGood, end int) {
	for n := min(len(words), maxGoodWords); n > 0; n-- {
		for at := len(words) - n; at >= 0; at-- {
			word := strings.Join(words[at:at+n], " ")
			if kind, ok := goodOf(word); ok {
				return &OtherGood{kind, word}, at + n
			}
		}
	}
	return nil, 0
}

func goodOf(word string) (GoodKind, bool) {
	if kind, ok := goodWords[word]; ok {
		return kind, true
	}
	for _, singular := range singulars(word) {
		if kind, ok := goodWords[singular]; ok {
			return kind, true
		}
	}
	return "", false
}

// maxGoodWords is how many words the longest entry of the list has.
const maxGoodWords = 3

// goodWords is the list by normal form.
var goodWords = func() map[string]GoodKind {
	out := map[string]GoodKind{}
	for kind, list := range goodLists {
		for w := range strings.SplitSeq(list, ",") {
			out[normalise(w)] = kind
		}
	}
	return out
}()
