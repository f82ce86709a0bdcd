package entry

import (
	"slices"
	"strings"

	"commensal/internal/species"
)

// The words the format allows. They are listed for people in
// db/catalogue/README.md; a test compares the two.
var (
	BodyForms = []species.BodyForm{
		species.EelLike, species.Elongated, species.Fusiform, species.ShortDeep,
		species.ShrimpForm, species.CrayfishForm, species.CrabForm, species.SnailForm, species.ClamForm,
	}
	Guilds = []species.Guild{
		species.Piscivore, species.Predator, species.Invertivore, species.Planktivore, species.Omnivore,
		species.Herbivore, species.AlgaeGrazer, species.Detritivore, species.FinScaleEat, species.Molluscivore,
		species.Scavenger, species.FilterFeeder,
	}
	// Feedings are the ways of feeding.
	Feedings = []species.Feeding{
		species.GrazeAlgae, species.RaspWood, species.BrowsePlants, species.CombDetritus, species.FilterWater, species.SiftGround,
		species.ProbeGround, species.PickAtFood, species.PickPlankton, species.PickSurface, species.CrushShells, species.BitePieces,
		species.SeizePrey, species.AmbushPrey, species.ChasePrey, species.Prowl, species.Scavenge,
	}
	ActiveHours    = []species.Hours{species.ByDay, species.AtTwilight, species.ByNight, species.AnyHour}
	Availabilities = []species.Availability{species.EveryShop, species.ManyShops, species.Specialist, species.RareSeller}
	Socials        = []species.Social{
		species.Solitary, species.Single, species.Pair, species.Harem, species.Group, species.Colony,
	}
	Cautions = []species.Caution{
		species.Venomous, species.SharpSpines, species.Electric, species.Bites, species.Poisonous,
		species.Regulated, species.Invasive, species.Tankbuster, species.WildCaught, species.HardToFeed,
		species.ShortLived, species.NeedsAirGap, species.SaltOverTime, species.Prohibited,
	}
	Shapes = words(`torpedo barb deep_tetra livebearer gourami betta cichlid disc eel loach
		armoured_catfish sucker_catfish whiskered_catfish shark knifefish goby puffer hatchet arowana
		killifish rainbowfish goldfish ray bichir pike snakehead halfbeak moony elephantnose mudskipper
		shrimp crayfish crab snail clam`)
	Colours = words(`silver gold yellow orange red pink blue green brown black white transparent
		vertical_bars horizontal_stripes spots`)
	Needs = words(`sand caves shells rocks wood plants floating_plants open_water still_water
		strong_current mature_tank very_clean_water land_area live_food hiding_places dim_light
		no_copper heater unheated`)
)

func words(list string) []string { return strings.Fields(list) }

// Allowed reports whether word is one of the list.
func Allowed[T ~string](list []T, word T) bool { return slices.Contains(list, word) }

// Listed writes the allowed words for an error.
func Listed[T ~string](list []T) string {
	texts := make([]string, len(list))
	for i, w := range list {
		texts[i] = string(w)
	}
	return strings.Join(texts, ", ")
}

// BasisKey is the source key of a basis; ok is false when the basis is malformed,
// and the key is empty for memory.
func BasisKey(b species.Basis) (key string, ok bool) {
	if b == species.Memory {
		return "", true
	}
	key, found := strings.CutPrefix(string(b), "source:")
	return key, found && IsSourceKey(key)
}

// IsSourceKey reports whether key is made of ASCII letters, digits, '.', '_', '-'.
func IsSourceKey(key string) bool {
	for _, r := range key {
		if !isASCIIAlnum(r) && r != '.' && r != '_' && r != '-' {
			return false
		}
	}
	return key != ""
}

func isASCIIAlnum(r rune) bool {
	return 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9'
}

// IsLanguage reports whether tag has the shape of a BCP 47 tag: a language of two
// or three lower-case letters and subtags of two to eight letters or digits.
func IsLanguage(tag string) bool {
	for i, part := range strings.Split(tag, "-") {
		low, high := 2, 8
		if i == 0 {
			high = 3
		}
		if len(part) < low || len(part) > high {
			return false
		}
		for _, r := range part {
			if !isASCIIAlnum(r) || i == 0 && (r < 'a' || r > 'z') {
				return false
			}
		}
	}
	return true
}
