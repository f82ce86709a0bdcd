package species

import (
	"regexp"
	"slices"
	"strings"

	"commensal/internal/species/labels"
	"commensal/internal/species/spelling"
)

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
	return slices.Contains(animalKinds, k)
}

var animalKinds = []GoodKind{GoodFrog, GoodSalamand, GoodTurtle, GoodMarine, GoodInsect, GoodReptile}

// AnimalKinds lists the kinds of animals.
func AnimalKinds() []GoodKind { return slices.Clone(animalKinds) }

// OtherGood is something of the trade that is no fish of the catalogue.
type OtherGood struct {
	Kind GoodKind
	Word string // the word of the list by which it was known, in its normal form
	// Animal is which animal of the list it is; nil for what is none.
	Animal *OtherAnimal
	// Misspelt is set where the label has no word of the list, but one that is a slip or two away from Word
	// and no nearer to any name of a fish.
	Misspelt bool
}

// OtherAnimal is an animal that shops sell beside fish and that is never judged as one, with its names. The list is
// db/catalogue/animals.yaml; make generate writes it to animals.gen.go.
type OtherAnimal struct {
	Name  string // in English, as inside a sentence
	Kind  GoodKind
	Names []string // vernacular in several languages, and scientific
	// Sentence says in English why it is not judged, with {word} for the name as the caller wrote it; Short is a clause
	// for summaries. Both are empty where the kind says enough.
	Sentence, Short string
}

// OtherAnimals lists them. The list is shared and must not be changed.
func OtherAnimals() []OtherAnimal { return otherAnimals }

// NameKey is the form in which names are compared: names of one key are the same name.
func NameKey(name string) string { return spelling.Normal(name) }

// otherThan is what a label names where its last words are on the list of other goods and no name of
// a kind covers as many of them: "betta pellets", but not "rock shrimp".
func (t *nameTable) otherThan(words []string) *OtherGood {
	good, end := otherGood(words)
	if good == nil || slices.ContainsFunc(words[end:], func(w string) bool { return !beside(w) }) {
		return nil
	}
	words = words[:end]
	for at := 0; at+len(strings.Fields(good.Word)) <= len(words); at++ {
		if len(t.head(strings.Join(words[at:], " "))) > 0 {
			return nil
		}
	}
	return good
}

// goodsFirst is what a label names whose first part, of several, is other goods: "guppy grass (Najas guadalupensis)"; and what it
// names that begins with a word for food, as Romance languages have it: "granulés guppy".
func (t *nameTable) goodsFirst(parts []labelPart) *OtherGood {
	for i, part := range parts {
		words := strings.Fields(spelling.Squash(part.text))
		if i == 0 && len(parts) > 1 && !part.quoted {
			if good := t.otherThan(words); good != nil {
				return good
			}
		}
		if i > 0 || len(words) < 2 {
			break
		}
		g, ok := goodOf(words[0])
		if ok && g.kind == GoodFood && len(t.inOrder(words, t.inNames(words))) == 0 {
			return &OtherGood{Kind: g.kind, Word: words[0]}
		}
	}
	return nil
}

// beside reports whether a word behind the name of other goods leaves them what they are: how they are sold or look, or more
// goods. A "leaf fish" is none.
func beside(w string) bool {
	_, isGood := goodWords[w]
	return isGood || soldAs[w] || amount.MatchString(w) || labels.Tells(w) != 0 && labels.Tells(w) != labels.Noun
}

// amount is how much is in a box.
var amount = regexp.MustCompile(`^\d+(?:ml|l|g|gr|kg|oz)?$|^(?:ml|kg|gr|oz)$`)

// soldAs are words for how plants and wood are sold, by their normal form.
var soldAs = func() map[string]bool {
	out := map[string]bool{}
	for w := range strings.FieldsSeq("potted pot pots bunch bunched portion cup mat tissue culture cultured on in topf bund maceta pote vaso vitro ポット 盆") {
		out[spelling.Normal(w)] = true
	}
	return out
}()

// compoundEnds are nouns of other goods that German compounds end in.
var compoundEnds = []string{"wurzel", "holz", "pflanze", "pflanzen", "moos", "farn", "futter", "flocken", "steine"}

// otherGood knows other goods by the words of a label, the longest run of them that is on the
// list, and tells where it ends.
func otherGood(words []string) (good *OtherGood, end int) {
	for n := min(len(words), maxGoodWords); n > 0; n-- {
		for at := len(words) - n; at >= 0; at-- {
			word := strings.Join(words[at:at+n], " ")
			if g, ok := goodOf(word); ok {
				return &OtherGood{Kind: g.kind, Word: word, Animal: g.animal}, at + n
			}
		}
	}
	return nil, 0
}

func goodOf(word string) (good, bool) {
	if g, ok := goodWords[word]; ok {
		return g, true
	}
	for _, singular := range spelling.Singulars(word) {
		if g, ok := goodWords[singular]; ok {
			return g, true
		}
	}
	for _, end := range compoundEnds {
		if strings.HasSuffix(word, end) && !strings.Contains(word, " ") {
			return goodWords[end], true
		}
	}
	return good{}, false
}

// good is what a word of the list stands for.
type good struct {
	kind   GoodKind
	animal *OtherAnimal
}

// goodWords is the list by normal form, and maxGoodWords how many words the longest of it has.
var goodWords, maxGoodWords = func() (map[string]good, int) {
	out, most := map[string]good{}, 0
	add := func(name string, g good) {
		key := spelling.Normal(name)
		out[key] = g
		most = max(most, 1+strings.Count(key, " "))
	}
	for kind, list := range goodLists {
		for w := range strings.SplitSeq(list, ",") {
			add(w, good{kind: kind})
		}
	}
	for i := range otherAnimals {
		for _, name := range otherAnimals[i].Names {
			add(name, good{otherAnimals[i].Kind, &otherAnimals[i]})
		}
	}
	return out, most
}()

// misspelt knows an animal of the list by a name with a slip in it, where the words of the label before and behind it are
// words of labels. A name of a fish that is as near goes before: nothing is made a frog that may be a fish.
func (t *nameTable) misspelt(words []string) *OtherGood {
	whole := strings.Join(words, " ")
	if len(whole) > maxNearKey {
		return nil
	}
	var e spelling.Editor
	for at := range words {
		for end := len(words); end > at; end-- {
			if part := end-at < len(words); !part || kingdomOf(words) == anyKingdom {
				if g := t.nearGood(&e, strings.Join(words[at:end], " "), whole); g != nil {
					return g
				}
			}
			if labels.Tells(words[end-1]) == 0 {
				break
			}
		}
		if labels.Tells(words[at]) == 0 {
			break
		}
	}
	return nil
}

// nearGood is the animal whose name is nearest to a key, within the slips that its length allows; nil where the key, or the
// whole label that it is of, is as near to the name of a fish.
func (t *nameTable) nearGood(e *spelling.Editor, key, whole string) *OtherGood {
	query := []rune(key)
	best, least := -1, maxSlips+1
	for i := range animalNames {
		a := &animalNames[i]
		if len(a.runes) == 0 || len(query) == 0 || a.runes[0] != query[0] {
			continue // the first letter is hardly ever wrong
		}
		allowed := slips(max(len(a.runes), len(query)))
		if d := e.Distance(query, a.runes, allowed); d <= allowed && d < least {
			best, least = i, d
		}
	}
	if best < 0 {
		return nil
	}
	a := &animalNames[best]
	alike := e.Similarity(key, a.key)
	for _, written := range []string{key, whole} {
		for _, x := range t.grams().nearest(written, reranked, leastShared) {
			if e.Similarity(written, t.records[x.record].key) >= alike {
				return nil
			}
		}
	}
	return &OtherGood{Kind: a.animal.Kind, Word: a.key, Animal: a.animal, Misspelt: true}
}

// maxSlips is how many slips are forgiven in a long name.
const maxSlips = 2

// slips is how many slips are forgiven in a name of so many letters: none in a short one, where another word is near.
func slips(letters int) int {
	switch {
	case letters >= 8:
		return maxSlips
	case letters >= 6:
		return 1
	}
	return 0
}

// animalName is a name of an animal in its normal form.
type animalName struct {
	key    string
	runes  []rune
	animal *OtherAnimal
}

var animalNames = func() (out []animalName) {
	for i := range otherAnimals {
		if a := &otherAnimals[i]; a.Kind != GoodMarine { // their English names are too near to those of fish
			for _, name := range a.Names {
				key := spelling.Normal(name)
				out = append(out, animalName{key, []rune(key), a})
			}
		}
	}
	return out
}()

// goodLists are the words for goods of the trade that are no animals, a comma between
// them, in English and where they are common in German, French, Spanish, Portuguese, Japanese and
// Chinese. Common practice, no source.
var goodLists = map[GoodKind]string{
	GoodPlant: `plant,plants,aquarium plant,live plant,anubias,anubias nana,java fern,java moss,moss,moss ball,marimo,christmas moss,fern,
		vallisneria,vallis,amazon sword,sword plant,echinodorus,cryptocoryne,crypt,crypts,bucephalandra,buce,hornwort,elodea,egeria,anacharis,
		cabomba,bacopa,ludwigia,rotala,hygrophila,water wisteria,water sprite,duckweed,frogbit,amazon frogbit,salvinia,water lettuce,
		water hyacinth,red root floater,dwarf hairgrass,hairgrass,monte carlo,dwarf baby tears,baby tears,glossostigma,lilaeopsis,sagittaria,
		dwarf sagittaria,tiger lotus,lotus,water lily,lily,lily pad,pothos,bolbitis,limnophila,alternanthera,staurogyne,hydrocotyle,pennywort,
		riccia,guppy grass,fissidens,subwassertang,microsorum,aponogeton,banana plant,lucky bamboo,pflanze,pflanzen,farn,wasserpflanze,aquariumpflanze,javafarn,
		javamoos,moos,mooskugel,plante,plantes,mousse de java,mousse,planta,plantas,musgo,musgo de java,水草,モス,アヌビアス,莫斯`,
	GoodHardscape: `wood,driftwood,bogwood,spider wood,mopani,mopani wood,root,cholla wood,rock,rocks,stone,stones,dragon stone,seiryu stone,
		slate,lava rock,gravel,substrate,soil,aqua soil,aquasoil,cave,coconut cave,pleco cave,ornament,decoration,decor,
		almond leaf,almond leaves,catappa,catappa leaf,catappa leaves,indian almond leaf,indian almond leaves,alder cone,alder cones,leaf litter,
		wurzel,holz,stein,steine,kies,hohle,seemandelbaumblatt,bois,racine,roche,pierre,gravier,madera,tronco,roca,piedra,grava,
		madeira,rocha,pedra,cascalho,流木,石,沉木`,
	GoodFood: `food,fish food,flake,flakes,flake food,pellet,pellets,wafer,wafers,algae wafer,algae wafers,bloodworm,bloodworms,frozen bloodworm,
		brine shrimp,artemia,daphnia,tubifex,blackworm,blackworms,mysis,krill,microworm,infusoria,cyclops,white worms,grindal worms,mosquito larvae,
		spirulina,granules,granulate,granulat,granules de,granulado,granulados,pienso,comida para peces,granulés,sticks,tabs,
		futter,fischfutter,flocken,frostfutter,lebendfutter,mückenlarven,nourriture,paillettes,comida,alimento,escamas,racao,ração,餌,饲料`,
	GoodMedicine: `medicine,medication,treatment,ich treatment,white spot treatment,melafix,pimafix,methylene blue,malachite green,copper treatment,
		antibiotic,fungus treatment,wormer,dewormer,praziquantel,levamisole,salt,aquarium salt,dechlorinator,water conditioner,conditioner,
		tap water conditioner,bacteria starter,filter starter,fertiliser,fertilizer,plant food,medikament,arznei,wasseraufbereiter,medicament,
		traitement,conditionneur,medicina,tratamiento,acondicionador,remedio,tratamento,condicionador,薬,カルキ抜き,药`,
	GoodEquipment: `filter,heater,air pump,pump,airstone,air stone,light,lamp,led,thermometer,net,test kit,test strips,lid,hood,stand,
		siphon,gravel cleaner,sponge filter,canister filter,co2,thermostat,breeding box,gift card,voucher,hammock,leaf hammock,filtre,chauffage,heizer,pumpe,lampe,
		aquarium set,filtro,calentador,aquecedor,フィルター,ヒーター,过滤器,加热棒`,
}
