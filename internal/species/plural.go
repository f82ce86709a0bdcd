package species

import "strings"

// plural finds what the singulars of an English plural mean: a vernacular name, a
// trade word or a genus.
func (t *nameTable) plural(key string) (claims []claim, ambiguous bool) {
	for _, singular := range singulars(key) {
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

// singulars lists the words whose regular plural the last word of key may be:
// "oscars", "guppies" and "cories", "discuses" and "loaches".
func singulars(key string) []string {
	last := key[strings.LastIndexByte(key, ' ')+1:]
	if len(last) < 4 || !strings.HasSuffix(last, "s") || strings.HasSuffix(last, "ss") {
		return nil
	}
	out := []string{key[:len(key)-1]}
	if strings.HasSuffix(last, "ies") {
		out = append(out, key[:len(key)-3]+"y")
	}
	if strings.HasSuffix(last, "es") {
		out = append(out, key[:len(key)-2])
	}
	return out
}
