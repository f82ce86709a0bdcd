package species

import (
	"regexp"
	"slices"
	"strings"

	"commensal/internal/species/spelling"
)

// scientific finds the claims to a folded scientific name or synonym, written out
// or with its genus abbreviated to one letter, or to up to four with a full stop.
func (t *nameTable) scientific(folded string) []claim {
	if r, ok := t.byKey[spelling.Squash(folded)]; ok {
		if claims := keepScientific(nil, t.records[r].claims); len(claims) > 0 {
			return claims
		}
	}
	parts := abbreviated.FindStringSubmatch(folded)
	if parts == nil {
		return nil
	}
	genus, rest := parts[1]+parts[2], spelling.Squash(parts[3])
	var claims []claim
	for _, full := range t.epithet[rest] {
		if strings.HasPrefix(full.genus, genus) {
			claims = keepScientific(claims, t.records[full.record].claims)
		}
	}
	slices.SortFunc(claims, func(a, b claim) int { return int(a.species - b.species) })
	return claims
}

// abbreviated is a genus of one to four letters with a full stop, or of one letter
// without, before an epithet.
var abbreviated = regexp.MustCompile(`^(?:([a-z]{1,4})\.|([a-z])\s)\s*(\S.*)$`)

// keepScientific adds to kept the scientific claims of entries it does not hold.
func keepScientific(kept, claims []claim) []claim {
	for _, c := range claims {
		if c.scientific() && !claimed(kept, c.species) {
			kept = append(kept, c)
		}
	}
	return kept
}

// authored finds the claims to a folded scientific name of three or two words with
// an author and a year behind it, as in "Astronotus ocellatus (Agassiz, 1831)". The
// year is required: without it a trade form could pass for an author.
func (t *nameTable) authored(folded string) []claim {
	if !endsInYear(folded) { // most names that are asked for, without the work of looking closely
		return nil
	}
	for _, words := range [...]int{3, 2} {
		name, author, ok := cutWords(folded, words)
		if !ok || !authorship.MatchString(author) {
			continue
		}
		if claims := t.scientific(name); len(claims) > 0 {
			return claims
		}
	}
	return nil
}

func endsInYear(folded string) bool {
	text := strings.TrimRight(folded, " )")
	return len(text) >= 4 && isYear(text[len(text)-4:])
}

// cutWords splits text behind its first n words; ok is false when nothing follows.
func cutWords(text string, n int) (words, rest string, ok bool) {
	rest = text
	for range n {
		rest = strings.TrimLeft(rest, " ")
		i := strings.IndexByte(rest, ' ')
		if i < 0 {
			return "", "", false
		}
		rest = rest[i:]
	}
	return text[:len(text)-len(rest)], strings.TrimSpace(rest), true
}

// authorship is folded authors and a year, in parentheses or not. Each author is one
// surname with optional initials and particles; two bare words in a row are not an
// author, so that "comet linnaeus 1758" does not hide a trade form.
var authorship = func() *regexp.Regexp {
	const (
		particle = `(?:(?:de|del|della|di|du|da|dos|la|le|van|von|der|den|zu)\s+|d'\s*)`
		author   = particle + `*(?:[a-z]\.\s*)*` + particle + `*[a-z][a-z'-]+`
		joiner   = `(?:\s*,?\s*&\s*|\s*,?\s+(?:and|et|in|ex|y)\s+|\s*,\s*)`
		year     = `(?:1[789]|20)\d\d`
		authors  = author + `(?:` + joiner + author + `)*(?:\s+et\s+al\.?)?\s*,?\s*` + year
	)
	return regexp.MustCompile(`^(?:` + authors + `|\(\s*` + authors + `\s*\))$`)
}()
