package catalogue

import (
	"slices"
	"strings"

	"commensal/internal/species"
	"go.yaml.in/yaml/v3"
)

// reviewKey is the key under which a field is acknowledged: the field as problems
// name it, and traits by their key alone.
func reviewKey(field string) string { return strings.TrimPrefix(field, "trait ") }

// reviewable are the fields beside the numbers that can be unusual.
var reviewable = []string{"names", "synonyms", "body_form", "guild", "social", "shape", "colours",
	"sexed_in_trade", "sold_as", "needs", "cautions", "zones", "feeding_zones"}

// isReviewKey reports whether a field can be acknowledged under the key.
func isReviewKey(key string) bool {
	language, isNames := strings.CutPrefix(key, "names ")
	if slices.Contains(reviewable, key) || isNames && isLanguage(language) {
		return true
	}
	for _, sex := range []string{"male ", "female "} {
		if rest, ok := strings.CutPrefix(key, sex); ok {
			t, ok := species.TraitByKey(rest)
			return ok && t.Info().Sexed
		}
	}
	if rest, ok := strings.CutPrefix(key, "water "); ok {
		_, ok := parameterByKey(rest)
		return ok
	}
	_, ok := species.TraitByKey(key)
	return ok
}

// reviewed reads which unusual values are right, and why.
func (r *reader) reviewed(n *yaml.Node, s *species.Species) {
	r.mapping(n, "reviewed", func(key string, k, v *yaml.Node) bool {
		if !isReviewKey(key) {
			r.fail(k, "reviewed", "%s is no value of an entry, as in: territory, male length, water gh, zones", shorten(key))
			return true
		}
		if reason, ok := r.text(v, "reviewed "+key); ok {
			s.Reviewed = append(s.Reviewed, species.Review{Field: key, Reason: reason})
		}
		return true
	})
}

// acknowledge marks what somebody found right as reviewed. To vouch for a value that
// nothing is unusual about is an error: it would hide the next slip.
func (v *verifier) acknowledge() {
	for _, s := range v.catalogue.Species {
		if s == nil {
			continue
		}
		for _, review := range s.Reviewed {
			field := "reviewed " + review.Field
			switch {
			case !isReviewKey(review.Field) || strings.TrimSpace(review.Reason) == "":
				v.addTo(s, SeverityError, s.ID, field, "it is no value of an entry, or has no reason")
			case !v.justify(s.ID, review):
				v.addTo(s, SeverityError, s.ID, field, "nothing is unusual about it any more: take it out")
			}
		}
	}
}

// justify marks the problems that a review answers; none is false.
func (v *verifier) justify(id species.ID, review species.Review) (needed bool) {
	for i := range v.problems {
		p := &v.problems[i]
		if p.Severity != SeverityError && p.Species == id && reviewKey(p.Field) == review.Field {
			p.Severity, p.Reason, needed = SeverityReviewed, review.Reason, true
		}
	}
	return needed
}
