// Package law holds published rules about selling, keeping, importing and releasing animals, by region,
// and says which of them touch a kind. It gives no legal advice: what it says defers to the authority.
//
// The package is pure: the rules are read by the package lawtext.
package law

import (
	"strings"

	"commensal/internal/species"
)

// Region is where a rule holds: the European Union or a country, by its letters.
type Region string

// The regions that rules are known of.
const (
	EuropeanUnion Region = "EU"
	GreatBritain  Region = "GB"
	UnitedStates  Region = "US" // federal law; the states add theirs
	Australia     Region = "AU"
	NewZealand    Region = "NZ"
	Canada        Region = "CA"
	Japan         Region = "JP"
)

// Regions are all regions, in the order of the text.
var Regions = []Region{EuropeanUnion, GreatBritain, UnitedStates, Australia, NewZealand, Canada, Japan}

// Act is what somebody does with an animal.
type Act uint8

// The acts.
const (
	Sale Act = iota
	Keeping
	Import
	Release

	// NumActs is the number of acts, not an act.
	NumActs = int(Release) + 1
)

var actWords = [NumActs]string{"sale", "keeping", "import", "release"}

// String is the act's key.
func (a Act) String() string { return actWords[a] }

// ActByKey finds an act.
func ActByKey(key string) (Act, bool) {
	for i, word := range actWords {
		if word == key {
			return Act(i), true
		}
	}
	return 0, false
}

// Degree is what a rule makes of an act. Unrestricted is what it does not speak of.
type Degree uint8

// The degrees, the stricter behind the milder.
const (
	Unrestricted Degree = iota
	Allowed             // said to be free
	Permit              // with a permit, a licence, papers or a place on a list
	Forbidden
)

var degreeWords = [...]string{"", "allowed", "permit", "forbidden"}

// String is the degree's key, empty for Unrestricted.
func (d Degree) String() string { return degreeWords[d] }

// DegreeByKey finds a degree that a rule can state.
func DegreeByKey(key string) (Degree, bool) {
	for i, word := range degreeWords {
		if word == key && key != "" {
			return Degree(i), true
		}
	}
	return Unrestricted, false
}

// Basis says how sure something in a rule is.
type Basis string

// The bases.
const (
	Source Basis = "source" // regulation, number and year are certain
	Memory Basis = "memory"
)

// Rule is one published rule.
type Rule struct {
	ID         string
	Regions    []Region
	Regulation string
	Number     string // as it is cited
	Year       int
	Acts       [NumActs]Degree
	Taxa       []Taxon
	Except     []Taxon
	Known      string // year and month of the knowledge, "2025-08"
	Basis      Basis  // of the regulation, its number and its year
	TaxaBasis  Basis
	Note       string
	Line       int // of the text, from 1
}

// Taxon is a species ("Channa argus"), a genus ("Channa"), a family ("Channidae") or [Any].
type Taxon string

// Any is every animal.
const Any Taxon = "any"

// IsFamily reports whether it is the name of a family of animals.
func (t Taxon) IsFamily() bool {
	return strings.HasSuffix(string(t), "idae") && !strings.Contains(string(t), " ")
}

// Covers reports whether a kind belongs to it. A species is known by its synonyms too, a genus by the
// accepted name alone: old genera held much that has left them.
func (t Taxon) Covers(s *species.Species) bool {
	switch {
	case t == Any:
		return true
	case t.IsFamily():
		return s.Family == string(t)
	case !strings.Contains(string(t), " "):
		return s.Genus() == string(t)
	case binomial(s.ScientificName) == string(t):
		return true
	}
	for _, synonym := range s.Synonyms {
		if binomial(synonym) == string(t) {
			return true
		}
	}
	return false
}

// binomial is the first two words of a name: a subspecies is covered with its species.
func binomial(name string) string {
	first := strings.IndexByte(name, ' ')
	if first < 0 {
		return name
	}
	if second := strings.IndexByte(name[first+1:], ' '); second >= 0 {
		return name[:first+1+second]
	}
	return name
}

// overlaps reports whether an animal can belong to both, as far as their names tell.
func (t Taxon) overlaps(other Taxon) bool {
	return t == other || t == Any || other == Any ||
		strings.HasPrefix(string(t), string(other)+" ") || strings.HasPrefix(string(other), string(t)+" ")
}

// Holds reports whether the rule holds in a region.
func (r *Rule) Holds(in Region) bool {
	for _, region := range r.Regions {
		if region == in {
			return true
		}
	}
	return false
}

// Touches gives the narrowest taxon of the rule that covers a kind; ok is false where none does or the
// kind is excepted.
func (r *Rule) Touches(s *species.Species) (taxon Taxon, ok bool) {
	for _, t := range r.Except {
		if t.Covers(s) {
			return "", false
		}
	}
	for _, t := range r.Taxa {
		if t.Covers(s) && (!ok || t.rank() < taxon.rank()) {
			taxon, ok = t, true
		}
	}
	return taxon, ok
}

// rank is lower for narrower taxa.
func (t Taxon) rank() int {
	switch {
	case t == Any:
		return 3
	case t.IsFamily():
		return 2
	case !strings.Contains(string(t), " "):
		return 1
	}
	return 0
}
