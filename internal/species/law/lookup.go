package law

import "commensal/internal/species"

// Applied is a rule that touches a kind, with the taxon it names.
type Applied struct {
	Rule  *Rule
	Taxon Taxon
}

// Answer is what the rules say of a kind in a place. The zero Answer says nothing.
type Answer struct {
	Place Place
	Rules []Applied
	// Acts has the strictest of all rules for each act.
	Acts [NumActs]Degree
}

// Of says which rules touch a kind in a place. It depends on nothing else. Where no rule is found the
// answer says so and no more: there may be rules that nobody has written down here.
func Of(rules []Rule, p Place, s *species.Species) Answer {
	a := Answer{Place: p}
	if !p.Known() {
		return a
	}
	for i := range rules {
		r := &rules[i]
		if !p.under(r) {
			continue
		}
		taxon, touched := r.Touches(s)
		if !touched {
			continue
		}
		a.Rules = append(a.Rules, Applied{r, taxon})
		for act, d := range r.Acts {
			a.Acts[act] = max(a.Acts[act], d)
		}
	}
	return a
}

// Under are the rules that hold in a place.
func Under(rules []Rule, p Place) []Rule {
	var out []Rule
	for i := range rules {
		if p.under(&rules[i]) {
			out = append(out, rules[i])
		}
	}
	return out
}

// under reports whether a rule holds in one of the regions of a place.
func (p Place) under(r *Rule) bool {
	for _, region := range p.Regions {
		if r.Holds(region) {
			return true
		}
	}
	return false
}

// Hands reports how strictly a counter is bound: the stricter of sale and keeping. Import and release
// bind others, or nobody who sells.
func (a Answer) Hands() Degree { return max(a.Acts[Sale], a.Acts[Keeping]) }

// Specific reports whether a rule names the kind, its genus or its family, and not just every animal.
func (a Answer) Specific() bool {
	for _, applied := range a.Rules {
		if applied.Taxon != Any {
			return true
		}
	}
	return false
}
