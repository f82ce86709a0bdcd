package cataloguetest

import (
	"errors"
	"testing/fstest"

	"commensal/internal/species"
	"commensal/internal/species/synthetic"
)

// Named is an entry with nothing but a name.
func Named(name string) *species.Species {
	return &species.Species{ID: species.MakeID(name, ""), ScientificName: name}
}

// English is a vernacular name in English.
func English(text string) species.Name { return species.Name{Language: "en", Text: text} }

// Value is the value of a trait, from memory.
func Value(low, typical, high float64) species.Value {
	return species.Value{Band: species.Band{Low: low, Typical: typical, High: high}, Basis: species.Memory}
}

// Waters is a range of water, from memory.
func Waters(low, preferredLow, preferredHigh, high float64) species.WaterRange {
	return species.WaterRange{
		Tolerated: species.Range{Low: low, High: high}, Preferred: species.Range{Low: preferredLow, High: preferredHigh}, Basis: species.Memory,
	}
}

// Folder makes a folder of pairs of name and content.
func Folder(pairs ...string) fstest.MapFS {
	files := make(fstest.MapFS)
	for i := 0; i+1 < len(pairs); i += 2 {
		files[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
	}
	return files
}

// Genus makes n congeners that are all alike, in a catalogue of their own.
func Genus(n int) species.Catalogue {
	const kinds = 8 // the kinds of synthetic species take turns, the first of them a shoaler
	c := synthetic.Catalogue(1, kinds*n)
	list := c.Species
	c.Species, c.Words = nil, nil
	for i := 0; i < len(list); i += kinds {
		s := *list[0]
		s.ScientificName, s.Names = "Parvus "+list[i].ScientificName[len(list[i].Genus())+1:], list[i].Names
		s.ID = species.MakeID(s.ScientificName, "")
		c.Species = append(c.Species, &s)
	}
	return c
}

// ErrFull is what a [FullDisk] answers.
var ErrFull = errors.New("full")

// FullDisk is a writer that takes nothing.
type FullDisk struct{}

// Write fails.
func (FullDisk) Write([]byte) (int, error) { return 0, ErrFull }
