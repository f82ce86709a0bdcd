package catalogue

import (
	"encoding/json"
	"io"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// FormatJSON writes a whole catalogue as one JSON object with the members species,
// words and sources. An entry has its id and then the keys of the text, in the
// order of the text; what is absent has no member. Equal catalogues give equal
// bytes. A number that JSON cannot hold is an error, and nothing is written.
func FormatJSON(w io.Writer, c species.Catalogue) error {
	entries := make([]entry.Object, len(c.Species))
	for i, s := range c.Species {
		entries[i] = append(entry.Object{{Key: "id", Value: string(s.ID)}}, entry.Outline(s)...)
	}
	words := make([]entry.Object, len(c.Words))
	for i, g := range c.Words {
		words[i] = entry.Object{{Key: "word", Value: g.Word}, {Key: "candidates", Value: entry.Strings(g.Candidates)}}
	}
	sources := make([]entry.Object, len(c.Sources))
	for i, s := range c.Sources {
		sources[i] = entry.Object{{Key: "key", Value: s.Key}, {Key: "citation", Value: s.Citation}}
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(struct {
		Species []entry.Object `json:"species"`
		Words   []entry.Object `json:"words"`
		Sources []entry.Object `json:"sources"`
	}{entries, words, sources})
}
