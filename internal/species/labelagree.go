package species

import (
	"cmp"
	"slices"
	"strings"

	"commensal/internal/species/labels"
)

// agreeing is what all names of a label mean: "multifasciatus shell dweller" is the one kind that
// is both. Where none is, the last name is the noun and the others are words beside it.
//
// A form goes before its species, and a code of the trade before all; coded says that there is one. Two kinds of a genus that
// do not agree are both meant.
func (s *Snapshot) agreeing(heads []head) (claims []claim, lost []string, coded bool) {
	if at := slices.IndexFunc(heads, func(h head) bool { _, ok := labels.Code(h.text); return ok }); at >= 0 {
		heads = append(slices.Delete(slices.Clone(heads), at, at+1), heads[at])
		coded = true
	}
	if !coded {
		heads = slices.Clone(heads) // "swordtail pineapple" is a swordtail and no pineapple pleco
		slices.SortStableFunc(heads, func(a, b head) int { return cmp.Compare(rankOf(a), rankOf(b)) })
	}
	last := heads[len(heads)-1]
	claims = last.claims
	for _, h := range slices.Backward(heads[:len(heads)-1]) {
		if both := common(h.claims, claims); len(both) > 0 {
			claims = both
			continue
		}
		if s.speciesOf(claims, h.claims) {
			continue
		}
		if s.speciesOf(h.claims, claims) {
			claims = h.claims
			continue
		}
		if !coded && len(h.claims) == 1 && s.sameGenus(h.claims[0], claims) {
			if len(claims) == 1 && claims[0].scientific() {
				claims = appendNew(claims, h.claims[0]) // two names that do not agree
				continue
			}
			if len(claims) > 1 || rarity(s.entries[claims[0].species]) <= rarity(s.entries[h.claims[0].species]) {
				claims = h.claims // an altum angel is no angel of another kind, in whatever order the two stand
			}
			continue
		}
		if !coded && (h.isBinomial() || last.isBinomial()) {
			claims = s.preciseOr(claims, h, last)
			continue
		}
		lost = append(lost, h.text)
	}
	return claims, lost, coded
}

// isBinomial reports whether the words are genus and epithet of one kind.
func (h *head) isBinomial() bool {
	return len(h.claims) == 1 && h.claims[0].scientific() && strings.Contains(h.text, " ")
}

// preciseOr is what a name of science means beside a vernacular name for other kinds: the kind of the former where they are of
// its family, whose vernacular names are taken loosely, or where that is no whole name; else either.
func (s *Snapshot) preciseOr(claims []claim, a, b head) []claim {
	precise, loose := a, b
	if !precise.isBinomial() {
		precise, loose = b, a
	}
	family := s.entries[precise.claims[0].species].Family
	if loose.short || slices.ContainsFunc(loose.claims, func(c claim) bool { return s.entries[c.species].Family == family }) {
		return precise.claims
	}
	claims = slices.Clone(claims)
	for _, c := range slices.Concat(a.claims, b.claims) {
		claims = appendNew(claims, c)
	}
	return claims
}

// rarity is how seldom a kind is for sale, 0 where every shop has it.
func rarity(e *Species) int {
	return slices.Index([]Availability{EveryShop, ManyShops, Specialist, RareSeller}, e.Available)
}

// codedFamily is the family that a code of the trade in a label stands for, known or not: L and LDA for the plecos, C and CW
// for the corys.
func codedFamily(words []string) string {
	for _, w := range words {
		switch letters, ok := labels.Code(w); {
		case !ok:
		case strings.HasPrefix(letters, "l"):
			return "Loricariidae"
		default:
			return "Callichthyidae"
		}
	}
	return ""
}

// ofFamily keeps the heads that may mean a kind of a family; the others stand beside.
func (s *Snapshot) ofFamily(heads []head, family string, aside []string) (kept []head, rest []string) {
	for _, h := range heads {
		h.claims = slices.DeleteFunc(slices.Clone(h.claims), func(c claim) bool { return s.entries[c.species].Family != family })
		if len(h.claims) == 0 {
			aside = append(aside, h.text)
			continue
		}
		kept = append(kept, h)
	}
	return kept, aside
}

// rankOf puts names without their noun in front of whole ones.
func rankOf(h head) int {
	if h.short {
		return 0
	}
	return 1
}

// speciesOf reports whether a name may mean the species that another means a form of.
func (s *Snapshot) speciesOf(forms, species []claim) bool {
	return len(forms) == 1 && slices.ContainsFunc(species, func(c claim) bool {
		return s.entries[forms[0].species].FormOf == s.entries[c.species].ID
	})
}

// sameGenus reports whether a kind is of one genus with all of some others.
func (s *Snapshot) sameGenus(c claim, others []claim) bool {
	return !slices.ContainsFunc(others, func(o claim) bool {
		return s.entries[o.species].Genus() != s.entries[c.species].Genus()
	})
}

// within keeps the claims of one kingdom, where the label names one and it has any.
func (s *Snapshot) within(claims []claim, k kingdom) (out []claim) {
	for _, c := range claims {
		if k.holds(s.entries[c.species].BodyForm) {
			out = append(out, c)
		}
	}
	return out
}

// common are the claims of those kinds that have a claim in both.
func common(a, b []claim) (out []claim) {
	for _, c := range a {
		if claimed(b, c.species) {
			out = append(out, c)
		}
	}
	return out
}

// bred keeps, of several kinds of one genus of fishes, or of kinds whose genus stands as one letter, with a word for colour
// or strain beside their name, the one that is bred in strains: a gold ancistrus. Its forms are told by words of their own.
func (s *Snapshot) bred(claims []claim, aside []string) []claim {
	if len(claims) < 2 || !s.sameGenus(claims[0], claims) && !oneEpithet(claims) || !slices.ContainsFunc(aside, strain) {
		return claims
	}
	var out []claim
	for _, c := range claims {
		if e := s.entries[c.species]; slices.Contains(bredInStrains, e.ID) && !e.BodyForm.Invertebrate() {
			out = append(out, c)
		}
	}
	if len(out) != 1 {
		return claims
	}
	return out
}

// oneEpithet reports whether all claims are to names of science with one epithet: P. reticulata is a guppy, or a ray.
func oneEpithet(claims []claim) bool {
	_, epithet, _ := strings.Cut(claims[0].shown, " ")
	return !slices.ContainsFunc(claims, func(c claim) bool {
		_, e, _ := strings.Cut(c.shown, " ")
		return !c.scientific() || e != epithet
	})
}
