package law

import (
	"fmt"
	"strings"

	"commensal/internal/species"
)

// CheckLocalLaw ends whatever is said about a rule.
const CheckLocalLaw = "This is no legal advice and may be out of date: check local law with the authority."

// regionWords name the regions in a sentence.
var regionWords = map[Region]string{
	EuropeanUnion: "the European Union", GreatBritain: "Great Britain", UnitedStates: "the United States (federal law)", Australia: "Australia",
	NewZealand: "New Zealand", Canada: "Canada", Japan: "Japan",
}

// Sentences say in English what the rules are for a kind, the strictest first, and end with
// [CheckLocalLaw]. There are none where no rule is known to touch the kind.
func (a Answer) Sentences(s *species.Species) []string {
	var out []string
	for _, degree := range []Degree{Forbidden, Permit} {
		for _, applied := range a.Rules {
			if applied.Rule.strictest() == degree {
				out = append(out, applied.sentence(a.Place, s))
			}
		}
	}
	if len(out) == 0 {
		return nil
	}
	if a.Place.Part {
		out = append(out, a.Place.Text+" may have stricter rules of its own.")
	}
	return append(out, CheckLocalLaw)
}

// strictest is the strictest degree of a rule.
func (r *Rule) strictest() Degree {
	most := Unrestricted
	for _, d := range r.Acts {
		most = max(most, d)
	}
	return most
}

func (applied Applied) sentence(p Place, s *species.Species) string {
	r := applied.Rule
	var parts []string
	if acts := r.actsOf(Forbidden); acts != "" {
		parts = append(parts, acts+" "+are(acts)+" forbidden")
	}
	if acts := r.actsOf(Permit); acts != "" {
		parts = append(parts, acts+" "+need(acts)+" a permit, papers or a place on a list")
	}
	what := s.ScientificName
	if t := applied.Taxon; t != Any && string(t) != what {
		what += " (as " + string(t) + ")"
	}
	text := fmt.Sprintf("%s, %s, %d: in %s %s for %s, as known in %s%s.", r.Regulation, r.Number, r.Year, p.shown(r),
		strings.Join(parts, ", and "), what, r.Known, r.caveat())
	if r.Note != "" {
		text += " " + r.Note
	}
	return text
}

// Summary says in a few words what a rule restricts: "sale and keeping forbidden, import by permit".
func (r *Rule) Summary() string {
	var parts []string
	for _, d := range []struct {
		of    Degree
		words string
	}{{Forbidden, "forbidden"}, {Permit, "by permit"}, {Allowed, "allowed"}} {
		if acts := r.actsOf(d.of); acts != "" {
			parts = append(parts, acts+" "+d.words)
		}
	}
	return strings.Join(parts, ", ")
}

// caveat says what is from memory.
func (r *Rule) caveat() string {
	switch {
	case r.Basis != Source:
		return ", noted from memory"
	case r.TaxaBasis != Source:
		return ", its list noted from memory"
	}
	return ""
}

// shown names the regions of a place in which a rule holds.
func (p Place) shown(r *Rule) string {
	var names []string
	for _, region := range p.Regions {
		if r.Holds(region) {
			names = append(names, regionWords[region])
		}
	}
	return strings.Join(names, " and ")
}

// actsOf lists the acts of a degree, as in "sale, keeping and import".
func (r *Rule) actsOf(d Degree) string {
	var words []string
	for act, degree := range r.Acts {
		if degree == d {
			words = append(words, Act(act).String())
		}
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func are(list string) string {
	if strings.Contains(list, " ") {
		return "are"
	}
	return "is"
}

func need(list string) string {
	if strings.Contains(list, " ") {
		return "need"
	}
	return "needs"
}
