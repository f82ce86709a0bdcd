package species

import "commensal/internal/species/spelling"

// plural finds what the singulars of an English plural mean: a vernacular name, a
// trade word or a genus.
func (t *nameTable) plural(key string) (claims []claim, ambiguous bool) {
	for _, singular := range spelling.Singulars(key) {
		found, isGroup := t.exact(singular)
		if len(found) == 0 {
			found, isGroup = t.genera[singular], true
		}
		for _, c := range found {
			if c.kind == MatchVernacular || isGroup {
				claims = appendNew(claims, c)
				ambiguous = ambiguous || isGroup
			}
		}
	}
	return claims, ambiguous
}

func appendNew(claims []claim, c claim) []claim {
	if claimed(claims, c.species) {
		return claims
	}
	return append(claims, c)
}
