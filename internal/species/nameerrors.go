package species

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Candidate is an entry that a name may have meant.
type Candidate struct {
	ID             ID
	ScientificName string
	VernacularName string  // in English, or the scientific name
	Score          float64 // 0 to 1; 1 for a name that fits exactly
	Matched        string  // the name, as catalogued, that fits
}

// UnknownNameError reports a name that no entry carries. Near lists the nearest
// ones, best first; nothing is resolved to them. Other is what the name means where it
// is known to be no fish of the catalogue, as "axolotl" is; then nothing is near it.
type UnknownNameError struct {
	Name  string
	Near  []Candidate
	Other *OtherGood
}

// Error names the name and its nearest matches.
func (e *UnknownNameError) Error() string {
	if e.Other != nil {
		return fmt.Sprintf("%q is no fish of the catalogue but of the kind %s", e.Name, e.Other.Kind)
	}
	if len(e.Near) == 0 {
		return fmt.Sprintf("no species is called %q", e.Name)
	}
	return fmt.Sprintf("no species is called %q; near it: %s", e.Name, listCandidates(e.Near))
}

// AmbiguousNameError reports a name that fits several entries, or a genus, which
// never names one species. Candidates are in the declared order of a trade word,
// else by id; for a genus, those that belong to it come before those that once did.
type AmbiguousNameError struct {
	Name       string
	Candidates []Candidate
}

// Error names the name and its candidates.
func (e *AmbiguousNameError) Error() string {
	return fmt.Sprintf("%q does not name one species; it may mean: %s", e.Name, listCandidates(e.Candidates))
}

// BadNameError reports text that cannot be a name: overlong, empty, broken UTF-8
// or with control characters.
type BadNameError struct {
	Name string // at most 40 runes, printable
	What string
}

// Error names the start of the text and what is wrong with it.
func (e *BadNameError) Error() string {
	return fmt.Sprintf("%q cannot be a species name: %s", e.Name, e.What)
}

// maxEcho is the most runes of a bad name that an error repeats.
const maxEcho = 40

func badName(name, what string) *BadNameError {
	var b strings.Builder
	for n := 0; name != "" && n < maxEcho; n++ {
		r, width := utf8.DecodeRuneInString(name)
		if !unicode.IsGraphic(r) {
			r = utf8.RuneError
		}
		b.WriteRune(r)
		name = name[width:]
	}
	return &BadNameError{Name: b.String(), What: what}
}

// listCandidates writes candidates as "Scientific name (Vernacular)", a few at most.
func listCandidates(candidates []Candidate) string {
	const most = 6
	var b strings.Builder
	for i, c := range candidates {
		if i == most {
			fmt.Fprintf(&b, " and %d more", len(candidates)-most)
			break
		}
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(c.ScientificName)
		if c.VernacularName != c.ScientificName {
			fmt.Fprintf(&b, " (%s)", c.VernacularName)
		}
	}
	return b.String()
}

// CatalogueError reports why a catalogue cannot be indexed.
type CatalogueError struct {
	Entry string // the id or the trade word at fault
	What  string
}

// Error names the entry and the fault.
func (e *CatalogueError) Error() string {
	return fmt.Sprintf("catalogue entry %q: %s", e.Entry, e.What)
}
