package verify

import (
	"strings"
	"unicode"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// identity checks the id, the scientific name and the family.
func (e entryVerifier) identity() {
	s := e.s
	if e.byID[s.ID] != s {
		e.fault("id", "another entry has the same id")
	}
	if !isScientific(s.ScientificName, 2) {
		e.fault("scientific_name", "%q is not a genus and a species name", s.ScientificName)
	}
	if want := species.MakeID(s.ScientificName, s.Form); s.ID != want || !entry.IsID(string(s.ID)) {
		e.fault("id", "the id of this name is %q", want)
	}
	switch {
	case s.Family == "":
		e.fault("family", "the family is missing")
	case !isFamily(s.Family):
		e.fault("family", "%q is not a family name: one capitalised word ending in -idae", s.Family)
	}
	if s.VernacularName("en") == s.ScientificName {
		e.review("names en", "no English name")
	}
}

// isScientific reports whether a text is a capitalised genus and lower-case words
// behind it, at least the given number of words in all and at most three.
func isScientific(text string, least int) bool {
	parts := strings.Split(text, " ")
	if len(parts) < least || len(parts) > 3 || !isCapitalised(parts[0]) {
		return false
	}
	for _, p := range parts[1:] {
		if !isLower(strings.ReplaceAll(p, "-", "")) {
			return false
		}
	}
	return true
}

func isFamily(text string) bool {
	return isCapitalised(text) && strings.HasSuffix(text, "idae")
}

func isCapitalised(text string) bool {
	return len(text) > 1 && 'A' <= text[0] && text[0] <= 'Z' && isLower(text[1:])
}

// isLower reports whether a text is letters a to z; scientific names have no others.
func isLower(text string) bool {
	for _, c := range text {
		if c > unicode.MaxASCII || !unicode.IsLower(c) {
			return false
		}
	}
	return text != ""
}

// form checks a trade form against its parent.
func (e entryVerifier) form() {
	s := e.s
	if (s.Form == "") != (s.FormOf == "") {
		e.fault("form", "form and form_of go together")
	}
	if s.FormOf == "" {
		return
	}
	parent := e.byID[s.FormOf]
	switch {
	case parent == nil:
		e.fault("form_of", "there is no entry %q", s.FormOf)
	case parent == s || parent.FormOf != "":
		e.fault("form_of", "%q is itself a form", s.FormOf)
	case parent.ScientificName != s.ScientificName:
		e.fault("form_of", "%q has another scientific name", s.FormOf)
	}
}

// otherNames checks that what it hybridises with is a genus or a species, and that
// synonyms are names of science, or undescribed ones in their customary form
// ("Ancistrus sp. 3").
func (e entryVerifier) otherNames() {
	for _, h := range e.s.Hybridises {
		if !isScientific(h, 1) {
			e.fault("hybridises", "%q is neither a genus nor a species name", h)
		}
	}
	for _, synonym := range e.s.Synonyms {
		genus, _, undescribed := strings.Cut(synonym, " sp. ")
		if !isScientific(synonym, 2) && !(undescribed && isCapitalised(genus)) {
			e.review("synonyms", "%q is not a genus and a species name", synonym)
		}
		if fold(synonym) == fold(e.s.ScientificName) {
			e.fault("synonyms", "%q is its accepted name", synonym)
		}
	}
	e.namesTwice()
}

// namesTwice looks for names of one language that differ in case alone.
func (e entryVerifier) namesTwice() {
	seen := make(map[species.Name]string, len(e.s.Names))
	for _, n := range e.s.Names {
		key := species.Name{Language: n.Language, Text: strings.ToLower(n.Text)}
		if first, ok := seen[key]; ok {
			e.review("names "+n.Language, "%q is the same name as %q", n.Text, first)
			continue
		}
		seen[key] = n.Text
	}
}

// basis checks where a value comes from, and notes the source as used.
func (e entryVerifier) basis(field string, b species.Basis) {
	key, ok := entry.BasisKey(b)
	switch {
	case b == "":
		e.fault(field, "the basis is missing")
	case !ok:
		e.fault(field, "basis %q is neither memory nor source:KEY", b)
	case key != "":
		if _, known := e.sources[key]; !known {
			e.fault(field, "source %q is not in the list of sources", key)
			return
		}
		e.sources[key] = true
	}
}
