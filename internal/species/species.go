// Package species holds what is known about each fish: the trait types, the
// immutable catalogue snapshot and the resolution of the names people type.
//
// The package is pure: it reads no files, opens no connections and keeps no
// state that changes after construction. A value that is not known is absent;
// nothing here fills a gap with a guess.
package species

// ID addresses a catalogue entry: the scientific name in lower case with
// hyphens, for example "astronotus-ocellatus". A trade form kept apart from its
// species appends the form: "carassius-auratus-fancy".
type ID string

// Band is a low-typical-high range of one value, in the unit of its trait.
// Low ≤ Typical ≤ High always holds in a verified catalogue.
type Band struct {
	Low, Typical, High float64
}

// Basis says where a value comes from: "memory" for trade and textbook
// knowledge without a citation, or "source:KEY" for a citation in the
// catalogue's list of sources.
type Basis string

// Memory is the basis of a value that rests on trade knowledge alone.
const Memory Basis = "memory"

// Value is one catalogue value. The zero Value is an absent one.
type Value struct {
	Band
	Basis Basis
}

// Known reports whether the value is present.
func (v Value) Known() bool { return v.Basis != "" }

// TraitSet holds one value per trait; absent traits are zero Values.
type TraitSet [NumTraits]Value

// Parameter is a property of the water.
type Parameter uint8

// The water parameters, in the order of the API and the tables.
const (
	Temperature Parameter = iota
	PH
	Hardness
	Salinity

	// NumParameters is the number of water parameters, not a parameter.
	NumParameters = int(Salinity) + 1
)

// ParameterInfo describes a water parameter: its key, unit, the unit as people
// write it, and the range outside which a value is certainly a slip.
type ParameterInfo struct {
	Key, Unit, Symbol string
	Min, Max          float64
}

var parameterInfo = [NumParameters]ParameterInfo{
	Temperature: {"temperature", "C", "°C", 0, 40},
	PH:          {"ph", "pH", "", 3, 10.5},
	Hardness:    {"gh", "dH", "°dH", 0, 60},
	Salinity:    {"salinity", "ppt", "ppt", 0, 40},
}

// Info describes the parameter.
func (p Parameter) Info() ParameterInfo { return parameterInfo[p] }

// String is the parameter's key, for example "temperature".
func (p Parameter) String() string {
	if int(p) < NumParameters {
		return parameterInfo[p].Key
	}
	return "unknown_parameter"
}

// Range is a closed interval in the unit of its parameter.
type Range struct{ Low, High float64 }

// Contains reports whether x lies in the closed interval.
func (r Range) Contains(x float64) bool { return r.Low <= x && x <= r.High }

// Intersect is the common part of two ranges; ok is false when they are disjoint.
func (r Range) Intersect(o Range) (common Range, ok bool) {
	common = Range{max(r.Low, o.Low), min(r.High, o.High)}
	return common, common.Low <= common.High
}

// WaterRange is what one species accepts of one water parameter: the tolerated
// range (adults stay alive and well for years) and, inside it, the preferred one.
type WaterRange struct {
	Tolerated, Preferred Range
	Basis                Basis
}

// Known reports whether the range is present.
func (w WaterRange) Known() bool { return w.Basis != "" }

// Zone is a level of the tank.
type Zone uint8

// The zones, from the top down.
const (
	Surface Zone = iota
	Middle
	Bottom

	// NumZones is the number of zones, not a zone.
	NumZones = int(Bottom) + 1
)

// String is the zone's key, for example "surface".
func (z Zone) String() string {
	return [...]string{"surface", "middle", "bottom"}[z]
}

// ZoneUse is the share of time (or of feeding) at surface, middle and bottom; the
// shares of a known ZoneUse sum to 1.
type ZoneUse struct {
	Share [NumZones]float64
	Basis Basis
}

// Known reports whether the shares are present.
func (z ZoneUse) Known() bool { return z.Basis != "" }

// Guild is the feeding guild.
type Guild string

// The feeding guilds.
const (
	Piscivore    Guild = "piscivore"     // lives on fish
	Predator     Guild = "predator"      // large invertebrates and any fish that fits
	Invertivore  Guild = "invertivore"   // small invertebrates
	Planktivore  Guild = "planktivore"   // small drifting animals
	Omnivore     Guild = "omnivore"      // both animal and plant matter
	Herbivore    Guild = "herbivore"     // plants and fruit
	AlgaeGrazer  Guild = "algae_grazer"  // algae and the small life in it
	Detritivore  Guild = "detritivore"   // detritus, wood film
	FinScaleEat  Guild = "fin_and_scale" // fins, scales, mucus
	Molluscivore Guild = "molluscivore"  // hard-shelled prey
	Scavenger    Guild = "scavenger"     // carrion, leftovers and what it can overpower
	FilterFeeder Guild = "filter_feeder" // fine particles strained from the water
)

// Social is how adults customarily live.
type Social string

// The ways of living.
const (
	Solitary Social = "solitary" // one to a tank, adults do not share
	Single   Social = "single"   // content alone or with others; no group needed
	Pair     Social = "pair"
	Harem    Social = "harem"  // one male with several females
	Group    Social = "group"  // a shoal or school
	Colony   Social = "colony" // many neighbouring territories
)

// Sex of a fish, where it is told.
type Sex uint8

// The sexes. Unsexed means not told or not tellable.
const (
	Unsexed Sex = iota
	Male
	Female
)

// String is the sex's key: "male", "female" or "" for unsexed.
func (s Sex) String() string { return [...]string{"", "male", "female"}[s] }

// Caution is a danger to people, tank mates or the law that must be said aloud.
type Caution string

// The cautions.
const (
	Venomous     Caution = "venomous"
	SharpSpines  Caution = "sharp_spines"
	Electric     Caution = "electric"
	Bites        Caution = "bites"
	Poisonous    Caution = "poisonous"    // toxic flesh or mucus
	Regulated    Caution = "regulated"    // keeping, sale or transport is restricted in some places
	Prohibited   Caution = "prohibited"   // keeping or sale is forbidden in many places
	Invasive     Caution = "invasive"     // established outside its range; never release
	Tankbuster   Caution = "outgrows"     // outgrows nearly every home tank
	WildCaught   Caution = "wild_caught"  // mostly wild caught, often arrives weak or with parasites
	HardToFeed   Caution = "hard_to_feed" // often refuses prepared food
	ShortLived   Caution = "short_lived"
	NeedsAirGap  Caution = "air_breather" // must reach the surface; needs an air gap and a lid
	SaltOverTime Caution = "needs_brackish"
)

// Name is one vernacular name in one language (BCP 47 tag).
type Name struct {
	Language string
	Text     string
}

// Review says that somebody who knows the fish looked at an unusual value and found
// it right. It changes no answer.
type Review struct {
	Field  string // what verification calls unusual, for example "territory"
	Reason string
}

// Species is one catalogue entry. Entries are immutable once they are in a
// [Snapshot]: share them, never change them.
type Species struct {
	ID             ID
	ScientificName string
	Family         string
	FormOf         ID     // the parent entry of a trade form, or empty
	Form           string // the trade form, or empty
	Names          []Name // the first English name is the one shown
	Synonyms       []string

	BodyForm   BodyForm
	Guild      Guild
	FeedsBy    Feeding // the main way of feeding, or empty
	Active     Hours   // or empty
	Social     Social
	Shape      string       // outline at a glance, for example "disc" or "torpedo"
	Colours    []string     // what another fish sees: ground colours and patterns
	Hybridises []string     // genera or full species names it crosses with
	SexedTrade bool         // sexes are told apart in the trade
	SoldAs     Sex          // the sex customarily sold and kept, or Unsexed for both
	Available  Availability // or empty
	Needs      []string     // for example "sand", "caves", "mature_tank"
	Cautions   []Caution
	LegalNote  string
	Note       string
	Basis      Basis // of everything above

	Reviewed []Review // unusual values that are right
	Checked  []Mark   // values that published sources agree with

	Traits       TraitSet
	MaleTraits   TraitSet // known only where males differ
	FemaleTraits TraitSet // known only where females differ
	Water        [NumParameters]WaterRange
	Zones        ZoneUse
	FeedingZones ZoneUse
}

// Trait returns the value of t for the given sex: the sex's own value where one
// is recorded, else the species' value, which may be absent.
func (s *Species) Trait(t Trait, sex Sex) Value {
	switch {
	case sex == Male && s.MaleTraits[t].Known():
		return s.MaleTraits[t]
	case sex == Female && s.FemaleTraits[t].Known():
		return s.FemaleTraits[t]
	}
	return s.Traits[t]
}

// Cites reports whether anything in the entry rests on the source or agrees with it.
func (s *Species) Cites(key string) bool {
	for _, m := range s.Checked {
		if m.Source == key && s.Holds(m) {
			return true
		}
	}
	basis := Basis("source:" + key)
	for _, set := range [...]*TraitSet{&s.Traits, &s.MaleTraits, &s.FemaleTraits} {
		for _, v := range set {
			if v.Basis == basis {
				return true
			}
		}
	}
	for _, w := range s.Water {
		if w.Basis == basis {
			return true
		}
	}
	return s.Basis == basis || s.Zones.Basis == basis || s.FeedingZones.Basis == basis
}

// Genus is the first word of the scientific name.
func (s *Species) Genus() string {
	for i := range len(s.ScientificName) {
		if s.ScientificName[i] == ' ' {
			return s.ScientificName[:i]
		}
	}
	return s.ScientificName
}

// VernacularName is the name shown to people in the language: its first name, or
// the first English one, or the scientific name.
func (s *Species) VernacularName(language string) string {
	english := s.ScientificName
	foundEnglish := false
	for _, n := range s.Names {
		if n.Language == language {
			return n.Text
		}
		if n.Language == "en" && !foundEnglish {
			english, foundEnglish = n.Text, true
		}
	}
	return english
}
