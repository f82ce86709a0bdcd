package species

import (
	"strings"
	"sync"
	"sync/atomic"
	"unicode"
	"unicode/utf8"
)

// Spoken is an English vernacular name as it stands inside a sentence: in lower case but for proper
// nouns, so "neon tetra" and "Congo tetra".
func Spoken(name string) string { return spokenNames.get(name) }

func spoken(name string) string {
	first, rest, _ := strings.Cut(name, " ")
	if isProper(first) {
		return name
	}
	lower := strings.ToLower(first[:1]) + first[1:]
	if rest == "" {
		return lower
	}
	return lower + " " + rest
}

// remembered holds what was worked out of texts, of which there are as many as names in the catalogue: each answer says several.
type remembered struct {
	of    func(string) string
	known sync.Map // of string to string
	held  atomic.Int64
}

// mostRemembered bounds what is held for texts that come from elsewhere.
const mostRemembered = 1 << 14

var spokenNames, pluralNames = &remembered{of: spoken}, &remembered{of: plural}

func (m *remembered) get(text string) string {
	if known, ok := m.known.Load(text); ok {
		return known.(string)
	}
	out := m.of(text)
	if m.held.Load() < mostRemembered {
		if _, known := m.known.LoadOrStore(strings.Clone(text), out); !known {
			m.held.Add(1)
		}
	}
	return out
}

// properNouns are first words of vernacular names that keep their capital: people, places, peoples.
// Names with an apostrophe are people's.
var properNouns = func() map[string]bool {
	m := map[string]bool{}
	for w := range strings.FieldsSeq(`Adolfo Afra African Agassiz Amazon American Angola Annectens Ansorge Argentine Asian Atlantic Aulonocara Australian
		Bolivian Borneo Brazilian Brichard British Brunei Buenos Burmese Cameroon Canadian Caribbean Central Ceylon Chao Chinese Colombian Columbian
		Congo Cuban Danube Dutch East Eastern Egyptian Ethiopian Eurasian European Everglades Florida German Gabon Ghana Goliath Guinea Gulf Guyana
		Haitian Hong Humboldt Indian Indonesian Irwin Israeli Italian Jack Japanese Java Kafue Kenyan Lake Limpopo Loreto Madagascar Malabar Malawi
		Malay Malayan Malaysian Mahachai Maracaibo Mayan Mekong Mexican Midas Moluccan Moorish Mozambique Myanmar Napo New Niger Nigerian Nile Nicaragua
		North Northern Odessa Orinoco Pacific Panama Papuan Para Paraguay Penang Peruvian Philippine Queensland Ramirez Rio Roman Russian Santa Siamese
		Siberian Sierra South Southeast Southern Sri Sulawesi Sumatra Surinam Tanganyika Tanganyikan Texas Thai Tulum Uganda Venezuelan Victoria Vietnamese
		West Western Xingu Yucatan Zambezi Zamora Pearse JD OB BN CPD Endler Endlers Sterba Sterbai Celebes Salvin Taiwan Inle Borelli Portuguese Endlicher
		Denison Boeseman Macmaster Everett Hengel Espe Schwartz Roloff Rabaut Weitzman Meta Simpson Halloween Javan Brazos Mississippi
		Amapa Cambodian Dracula Harald Javanese Johor Kamaka Mae Murray Ogowe Okefenokee Patrick Tengah Togo`) {
		m[w] = true
	}
	return m
}()

func isProper(word string) bool {
	if word == "" || strings.ContainsAny(word, "'’") || properNouns[word] {
		return true
	}
	if head, _, hyphen := strings.Cut(word, "-"); hyphen && properNouns[head] {
		return true
	}
	second, _ := utf8.DecodeRuneInString(word[1:])
	return len(word) > 1 && (unicode.IsUpper(second) || unicode.IsDigit(second)) || word[0] >= utf8.RuneSelf
}

// Plural is an English vernacular name as it is said of many: "neon tetras", "goldfish", "guppies".
func Plural(name string) string { return pluralNames.get(name) }

func plural(name string) string {
	if before, after, of := strings.Cut(name, " of "); of {
		return plural(before) + " of " + after
	}
	at := strings.LastIndexAny(name, " -") + 1
	return name[:at] + pluralWord(name[at:])
}

// invariable are the endings of nouns that are the same for one and for many.
var invariable = []string{
	"fish", "corydoras", "otocinclus", "synodontis", "discus", "kribensis", "barbus", "shrimp", "tropheus", "geophagus", "crayfish",
	"ancistrus", "aspidoras", "brochis", "multies", "kuhlii", "bass", "carp", "pike", "trout", "dace", "ide", "orfe", "anostomus", "leporinus",
	"metynnis", "pictus", "ocellatus", "similis", "brevis", "calvus", "compressiceps", "julidochromis", "cyprichromis", "venustus", "auratus",
	"saulosi", "demasoni", "acei", "kenyi", "koi", "mbuna", "nyererei", "species", "bleak",
}

func pluralWord(w string) string {
	lower := strings.ToLower(w)
	for _, end := range invariable {
		if strings.HasSuffix(lower, end) {
			return w
		}
	}
	switch {
	case lower == "" || !unicode.IsLetter(rune(lower[len(lower)-1])) && lower[len(lower)-1] < utf8.RuneSelf:
		return w
	case strings.HasSuffix(lower, "mouse"):
		return w[:len(w)-5] + "mice"
	case strings.HasSuffix(lower, "s"), strings.HasSuffix(lower, "x"), strings.HasSuffix(lower, "ch"), strings.HasSuffix(lower, "sh"):
		return w + "es"
	case strings.HasSuffix(lower, "y") && len(lower) > 1 && !strings.ContainsRune("aeiou", rune(lower[len(lower)-2])):
		if lower == "cory" {
			return w + "s"
		}
		return w[:len(w)-1] + "ies"
	}
	return w + "s"
}
