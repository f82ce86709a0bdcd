package entry

import (
	"slices"
	"strings"

	"commensal/internal/species"
	"go.yaml.in/yaml/v3"
)

// ReviewKey is the key under which a field is acknowledged: the field as problems
// name it, and traits by their key alone.
func ReviewKey(field string) string { return strings.TrimPrefix(field, "trait ") }

// reviewable are the fields beside the numbers that can be unusual.
var reviewable = []string{"names", "synonyms", "body_form", "guild", "feeds_by", "active", "availability", "social", "shape", "colours",
	"sexed_in_trade", "sold_as", "needs", "cautions", "zones", "feeding_zones"}

// IsReviewKey reports whether a field can be acknowledged under the key.
func IsReviewKey(key string) bool {
	language, isNames := strings.CutPrefix(key, "names ")
	if slices.Contains(reviewable, key) || isNames && IsLanguage(language) {
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
	if _, _, ok := ReviewedSource(key); ok {
		return true
	}
	if _, ok := ReviewedOutlier(key); ok {
		return true
	}
	_, ok := species.TraitByKey(key)
	return ok
}

// ReviewedSource splits the key under which somebody says why a value is right although a published
// source differs from it: "KEY length", "KEY water ph".
func ReviewedSource(key string) (source, field string, ok bool) {
	source, field, found := strings.Cut(key, " ")
	if !found || !IsSourceKey(source) || !species.IsMarkField(field) || slices.Contains([]string{"trait", "male", "female", "water", "names", outlier}, source) {
		return "", "", false
	}
	return source, field, true
}

// reviewed reads which unusual values are right, and why.
func (r *Reader) reviewed(n *yaml.Node, s *species.Species) {
	r.Mapping(n, "reviewed", func(key string, k, v *yaml.Node) bool {
		if !IsReviewKey(key) {
			r.Fail(k, "reviewed", "%s is no value of an entry, as in: territory, male length, water gh, zones, KEY length", Shorten(key))
			return true
		}
		if reason, ok := r.Text(v, "reviewed "+key); ok {
			s.Reviewed = append(s.Reviewed, species.Review{Field: key, Reason: reason})
		}
		return true
	})
}

// outlier is the first word of the key under which somebody says why a value is right that is far from
// what the rest of the catalogue predicts.
const outlier = "outlier"

// OutlierKey is the key for a field: "outlier lifespan".
func OutlierKey(field string) string { return outlier + " " + field }

// ReviewedOutlier gives the field of such a key.
func ReviewedOutlier(key string) (field string, ok bool) {
	field, ok = strings.CutPrefix(key, outlier+" ")
	return field, ok && species.IsMarkField(field)
}
