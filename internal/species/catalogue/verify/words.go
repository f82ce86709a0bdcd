package verify

import (
	"slices"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// groupWords checks the declared words and their candidates. One candidate is
// enough: the word still means a group, of which the catalogue holds one.
func (v *verifier) groupWords() {
	seen := make(map[string]bool, len(v.catalogue.Words))
	for _, w := range v.catalogue.Words {
		field := "words " + w.Word
		key := fold(w.Word)
		switch {
		case key == "" || len(w.Word) > species.MaxName:
			v.add(SeverityError, "", field, "no name can be this word")
		case seen[key]:
			v.add(SeverityError, "", field, "the word stands twice")
		}
		seen[key] = true
		v.candidates(field, w.Candidates)
	}
}

func (v *verifier) candidates(field string, ids []species.ID) {
	if len(ids) == 0 {
		v.add(SeverityError, "", field, "no candidates")
	}
	for i, id := range ids {
		if v.byID[id] == nil {
			v.add(SeverityError, "", field, "there is no entry %q", id)
		}
		if slices.Contains(ids[:i], id) {
			v.add(SeverityError, "", field, "the candidate %q stands twice", id)
		}
	}
}

// sourceList checks the list of sources, and that each is cited.
func (v *verifier) sourceList() {
	seen := make(map[string]bool, len(v.catalogue.Sources))
	for _, s := range v.catalogue.Sources {
		field := "sources " + s.Key
		switch {
		case !entry.IsSourceKey(s.Key):
			v.add(SeverityError, "", field, "a key is made of letters, digits, '.', '_' and '-'")
		case seen[s.Key]:
			v.add(SeverityError, "", field, "the key stands twice")
		case strings.TrimSpace(s.Citation) == "":
			v.add(SeverityError, "", field, "the citation is empty")
		case !v.sources[s.Key]:
			v.add(SeverityReview, "", field, "no value cites it, and none was compared with it")
		}
		seen[s.Key] = true
	}
}
