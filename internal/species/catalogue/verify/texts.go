package verify

import (
	"strings"

	"commensal/internal/species/catalogue/entry"
)

// formulaMarks begin what a spreadsheet takes for a formula. A catalogue goes out as a
// sheet, which must do nothing on the machine of who opens it.
const formulaMarks = "=+-@"

// texts checks the free texts of an entry.
func (e entryVerifier) texts() {
	check := func(field, text string) {
		if text != "" && strings.IndexByte(formulaMarks, text[0]) >= 0 {
			e.fault(field, "%s begins as a formula does in a spreadsheet", entry.Shorten(text))
		}
	}
	check("note", e.s.Note)
	check("legal_note", e.s.LegalNote)
	for _, n := range e.s.Names {
		check("names "+n.Language, n.Text)
	}
	for _, text := range e.s.Synonyms {
		check("synonyms", text)
	}
}
