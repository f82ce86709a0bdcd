package catalogue

import (
	"encoding/json"
	"io"

	"commensal/internal/species"
)

// FormatJSON writes a whole catalogue as one JSON object with the members species,
// words and sources. An entry has its id and then the keys of the text, in the
// order of the text; what is absent has no member. Equal catalogues give equal
// bytes. A number that JSON cannot hold is an error, and nothing is written.
func FormatJSON(w io.Writer, c species.Catalogue) error {
	entries := make([]object, len(c.Species))
	for i, s := range c.Species {
		entries[i] = append(object{{"id", string(s.ID)}}, outline(s)...)
	}
	words := make([]object, len(c.Words))
	for i, g := range c.Words {
		words[i] = object{{"word", g.Word}, {"candidates", stringsOf(g.Candidates)}}
	}
	sources := make([]object, len(c.Sources))
	for i, s := range c.Sources {
		sources[i] = object{{"key", s.Key}, {"citation", s.Citation}}
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(struct {
		Species []object `json:"species"`
		Words   []object `json:"words"`
		Sources []object `json:"sources"`
	}{entries, words, sources})
}
