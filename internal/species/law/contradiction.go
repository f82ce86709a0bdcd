package law

import (
	"fmt"

	"commensal/internal/species"
)

// Contradiction is two rules that cannot both hold.
type Contradiction struct {
	First, Second *Rule
	Region        Region
	Act           Act
	About         string // the taxon or the kind
}

// String tells it for people.
func (c Contradiction) String() string {
	return fmt.Sprintf("%s of %s in %s is %s here and %s in %s: name the exception under except, or mend one of the two",
		c.Act, c.About, c.Region, c.Second.Acts[c.Act], c.First.Acts[c.Act], c.First.ID)
}

// Contradictions finds rules of one region of which one allows what the other restricts, and rules of one
// regulation that restrict the same in two degrees. Different regulations may well be of different
// strictness; then the strictest holds. Families and genera are told apart with the help of the kinds
// given.
func Contradictions(rules []Rule, kinds []*species.Species) []Contradiction {
	var out []Contradiction
	for j := range rules {
		for i := range j {
			if c, found := contradiction(&rules[i], &rules[j], kinds); found {
				out = append(out, c)
			}
		}
	}
	return out
}

func contradiction(a, b *Rule, kinds []*species.Species) (Contradiction, bool) {
	region, ok := sharedRegion(a, b)
	if !ok {
		return Contradiction{}, false
	}
	for act := range Act(NumActs) {
		if !clash(a, b, act) {
			continue
		}
		if about, both := inBoth(a, b, kinds); both {
			return Contradiction{a, b, region, act, about}, true
		}
	}
	return Contradiction{}, false
}

// clash reports whether two degrees of one act cannot both hold.
func clash(a, b *Rule, act Act) bool {
	x, y := a.Acts[act], b.Acts[act]
	if x == Unrestricted || y == Unrestricted || x == y {
		return false
	}
	return x == Allowed || y == Allowed || a.Number == b.Number && a.Regulation == b.Regulation
}

func sharedRegion(a, b *Rule) (Region, bool) {
	for _, region := range a.Regions {
		if b.Holds(region) {
			return region, true
		}
	}
	return "", false
}

// inBoth finds an animal that both rules touch.
func inBoth(a, b *Rule, kinds []*species.Species) (about string, found bool) {
	for _, t := range a.Taxa {
		for _, u := range b.Taxa {
			narrow := t
			if u.rank() < t.rank() {
				narrow = u
			}
			if t.overlaps(u) && !excepted(a, narrow) && !excepted(b, narrow) {
				return string(narrow), true
			}
		}
	}
	for _, s := range kinds {
		if _, first := a.Touches(s); first {
			if _, second := b.Touches(s); second {
				return s.ScientificName, true
			}
		}
	}
	return "", false
}

// excepted reports whether a rule leaves the whole of a taxon out.
func excepted(r *Rule, t Taxon) bool {
	for _, e := range r.Except {
		if e == t || e.rank() >= t.rank() && e.overlaps(t) {
			return true
		}
	}
	return false
}

// Absent lists the taxa of the rules that no kind belongs to, each once, in the order of the text. They
// are allowed: the catalogue may get the kind later.
func Absent(rules []Rule, kinds []*species.Species) []Taxon {
	var out []Taxon
	seen := make(map[Taxon]bool)
	for _, r := range rules {
		for _, t := range append(append([]Taxon{}, r.Taxa...), r.Except...) {
			if !seen[t] && !t.coversAny(kinds) {
				out = append(out, t)
			}
			seen[t] = true
		}
	}
	return out
}

func (t Taxon) coversAny(kinds []*species.Species) bool {
	for _, s := range kinds {
		if t.Covers(s) {
			return true
		}
	}
	return false
}
