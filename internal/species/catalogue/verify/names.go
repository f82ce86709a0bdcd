package verify

import (
	"slices"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// nameKind orders the claims to a name by their strength.
type nameKind string

const (
	accepted   nameKind = "scientific_name"
	synonym    nameKind = "synonyms"
	vernacular nameKind = "names"
)

// claim is one entry's claim to a name.
type claim struct {
	id   species.ID
	kind nameKind
	text string
}

// names checks that a name leads to one entry, or is a declared word.
func (v *verifier) names() {
	declared := v.declared()
	claims, order := v.claims()
	for _, key := range order {
		list := claims[key]
		candidates, isWord := declared[key]
		if isWord {
			v.claimedWord(list, candidates)
			continue
		}
		for _, c := range list[1:] {
			v.add(SeverityError, c.id, string(c.kind), "%q is also a name (%s) of %s", c.text, list[0].kind, list[0].id)
		}
	}
}

// claimedWord checks the entries that carry a declared word as a name of theirs.
func (v *verifier) claimedWord(list []claim, candidates []species.ID) {
	for _, c := range list {
		switch {
		case c.kind == accepted:
			v.add(SeverityError, c.id, "words", "%q is a scientific name; it cannot be a word for several", c.text)
		case !slices.Contains(candidates, c.id):
			v.add(SeverityError, c.id, string(c.kind), "%q is a word for several, and this entry is not among its candidates", c.text)
		}
	}
}

// declared maps each folded word to its candidates.
func (v *verifier) declared() map[string][]species.ID {
	out := make(map[string][]species.ID, len(v.catalogue.Words))
	for _, w := range v.catalogue.Words {
		key := fold(w.Word)
		out[key] = append(out[key], w.Candidates...)
	}
	return out
}

// claims gathers who claims each folded name, the strongest claim of all entries
// first, and the names in the order of their first claim.
func (v *verifier) claims() (claims map[string][]claim, order []string) {
	claims = make(map[string][]claim, 8*len(v.catalogue.Species))
	for _, kind := range []nameKind{accepted, synonym, vernacular} {
		for _, s := range v.catalogue.Species {
			if s == nil {
				continue
			}
			for _, c := range v.claimsOf(s, kind) {
				key := fold(c.text)
				if !slices.ContainsFunc(claims[key], func(o claim) bool { return o.id == c.id }) {
					if claims[key] == nil {
						order = append(order, key)
					}
					claims[key] = append(claims[key], c)
				}
			}
		}
	}
	return claims, order
}

// claimsOf lists the claims of one kind. A trade form leaves the scientific names
// it shares to its parent and claims its id instead.
func (v *verifier) claimsOf(s *species.Species, kind nameKind) []claim {
	var out []claim
	add := func(text string) {
		if v.isName(s, kind, text) {
			out = append(out, claim{s.ID, kind, text})
		}
	}
	parent := v.byID[s.FormOf]
	switch kind {
	case accepted:
		if s.FormOf == "" {
			add(s.ScientificName)
		}
		add(strings.ReplaceAll(string(s.ID), "-", " "))
	case synonym:
		for _, text := range s.Synonyms {
			if parent == nil || !slices.Contains(parent.Synonyms, text) && text != parent.ScientificName {
				add(text)
			}
		}
	default:
		for _, n := range s.Names {
			add(n.Text)
		}
	}
	return out
}

// isName checks that a name can be looked up at all.
func (v *verifier) isName(s *species.Species, kind nameKind, text string) bool {
	switch {
	case len(text) > species.MaxName:
		v.add(SeverityError, s.ID, string(kind), "%s is longer than %d bytes", entry.Shorten(text), species.MaxName)
	case strings.ContainsFunc(text, entry.IsUnseen):
		v.add(SeverityError, s.ID, string(kind), "%q has a line break or an unprintable character in it", text)
	case fold(text) == "":
		v.add(SeverityError, s.ID, string(kind), "%q has no letter or digit", text)
	default:
		return true
	}
	return false
}
