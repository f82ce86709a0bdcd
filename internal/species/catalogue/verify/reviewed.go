package verify

import (
	"slices"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

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
			case !entry.IsReviewKey(review.Field) || strings.TrimSpace(review.Reason) == "":
				v.addTo(s, SeverityError, s.ID, field, "it is no value of an entry, or has no reason")
			case v.againstSource(s, review), v.farOff(s, review):
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
		if p.Severity != SeverityError && p.Species == id && entry.ReviewKey(p.Field) == review.Field {
			p.Severity, p.Reason, needed = SeverityReviewed, review.Reason, true
		}
	}
	return needed
}

// againstSource notes a reason for differing from a published source; false where the review is of
// something else. Where the source agrees there is nothing to give a reason for.
func (v *verifier) againstSource(s *species.Species, review species.Review) bool {
	source, field, ok := entry.ReviewedSource(review.Field)
	if !ok {
		return false
	}
	at := "reviewed " + review.Field
	_, isListed := v.sources[source]
	_, hasValue := s.ValueText(field)
	switch {
	case !isListed:
		v.addTo(s, SeverityError, s.ID, at, "source "+source+" is not in the list of sources")
	case !hasValue:
		v.addTo(s, SeverityError, s.ID, at, "the entry has no such value")
	case slices.Contains(s.AgreesWith(field), source):
		v.addTo(s, SeverityError, s.ID, at, source+" agrees with it: take the reason out")
	default:
		v.addTo(s, SeverityReviewed, s.ID, at, "differs from "+source)
		v.problems[len(v.problems)-1].Reason = review.Reason
	}
	return true
}

// farOff notes a reason for a value that is far from what is predicted; false where the review is of
// something else. Whether it still is far off the ranking tells, see the package outlier.
func (v *verifier) farOff(s *species.Species, review species.Review) bool {
	field, ok := entry.ReviewedOutlier(review.Field)
	if !ok {
		return false
	}
	at := "reviewed " + review.Field
	if _, hasValue := s.ValueText(field); !hasValue {
		v.addTo(s, SeverityError, s.ID, at, "the entry has no such value")
		return true
	}
	v.addTo(s, SeverityReviewed, s.ID, at, "far from what the rest of the catalogue predicts")
	v.problems[len(v.problems)-1].Reason = review.Reason
	return true
}
