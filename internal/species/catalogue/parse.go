package catalogue

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"runtime"
	"sync"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// ErrNoSpecies means that a folder holds no species file.
var ErrNoSpecies = errors.New("catalogue: no species/*.yaml file")

// Parse reads a catalogue folder: species/*.yaml in the order of their names, and
// words.yaml and sources.yaml where they exist. The faults of all files come back
// together as [entry.Errors], [ErrNoSpecies] means that there is nothing to read, and any
// other error is one of the file system, which must allow concurrent use.
//
// What Parse returns is well formed, not verified: see the package verify.
func Parse(files fs.FS) (species.Catalogue, error) { return parse(files, nil) }

// ParsePlaced is [Parse], and also tells where each value stands, for
// the package verify. It takes longer.
func ParsePlaced(files fs.FS) (species.Catalogue, *entry.Places, error) {
	places := entry.NewPlaces()
	c, err := parse(files, places)
	return c, places, err
}

func parse(files fs.FS, places *entry.Places) (species.Catalogue, error) {
	var c species.Catalogue
	var errs entry.Errors
	var err error
	if c.Species, err = parseSpecies(files, &errs, places); err != nil {
		return species.Catalogue{}, err
	}
	if c.Words, err = parseOptional(files, "words", &errs, places, groupWords); err != nil {
		return species.Catalogue{}, err
	}
	if c.Sources, err = parseOptional(files, "sources", &errs, places, sources); err != nil {
		return species.Catalogue{}, err
	}
	if err := errs.OrNil(); err != nil {
		return species.Catalogue{}, err
	}
	return c, nil
}

// ParseFile reads the entries of one species file. Name stands in the faults, which
// come back together as [entry.Errors].
func ParseFile(name string, data []byte) ([]*species.Species, error) {
	f := parseFile(name, data, nil)
	if err := f.errs.OrNil(); err != nil {
		return nil, err
	}
	return f.entries, nil
}

// parsedFile is what became of one species file.
type parsedFile struct {
	entries []*species.Species
	places  *entry.Places // nil when nobody asks
	errs    entry.Errors
	err     error // of the file system
}

// parseSpecies reads the species files side by side, because offline commands read
// the catalogue each time they start; the result is in the order of the names.
func parseSpecies(files fs.FS, errs *entry.Errors, places *entry.Places) ([]*species.Species, error) {
	names, err := speciesFiles(files, errs)
	if err != nil {
		return nil, err
	}
	parsed := make([]parsedFile, len(names))
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	var work sync.WaitGroup
	for i, name := range names {
		slots <- struct{}{}
		work.Go(func() {
			defer func() { <-slots }()
			data, err := readFile(files, name)
			if err != nil {
				parsed[i].err = err
				return
			}
			parsed[i] = parseFile(name, data, places)
		})
	}
	work.Wait()
	var entries []*species.Species
	for _, f := range parsed {
		if f.err != nil {
			return nil, f.err
		}
		entries = append(entries, f.entries...)
		if places != nil {
			places.Take(f.places)
		}
		for _, le := range f.errs {
			errs.Add(le)
		}
	}
	return entries, nil
}

// parseFile reads one species file, with places of its own if places are asked for:
// files are read side by side.
func parseFile(name string, data []byte, asked *entry.Places) parsedFile {
	var f parsedFile
	if asked != nil {
		f.places = entry.NewPlaces()
	}
	r := &entry.Reader{File: name, Errs: &f.errs}
	root := document(r, data)
	switch {
	case root != nil:
		f.entries = r.Blocks(root, f.places)
	case len(f.errs) == 0:
		r.FailAt(1, "", "the file holds no entry")
	}
	return f
}

// speciesFiles lists the species files in order. A file with the other common
// ending for YAML is a fault: it would be overlooked.
func speciesFiles(files fs.FS, errs *entry.Errors) ([]string, error) {
	names, err := fs.Glob(files, "species/*.yaml")
	if err != nil {
		return nil, fmt.Errorf("catalogue: %w", err)
	}
	overlooked, err := fs.Glob(files, "species/*.yml")
	if err != nil {
		return nil, fmt.Errorf("catalogue: %w", err)
	}
	for _, name := range overlooked {
		errs.Add(entry.LineError{File: name, Line: 1, Detail: "the name must end in .yaml"})
	}
	if len(names) == 0 && len(overlooked) == 0 {
		return nil, ErrNoSpecies
	}
	return names, nil
}

// readFile reads at most one byte more than a legal file has.
func readFile(files fs.FS, name string) ([]byte, error) {
	f, err := files.Open(name)
	if err != nil {
		return nil, fmt.Errorf("catalogue: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxFile+1))
	if err != nil {
		return nil, fmt.Errorf("catalogue: %s: %w", name, err)
	}
	return data, nil
}

// parseOptional reads the file of a list, which may be absent or hold only comments.
func parseOptional[T any](files fs.FS, list string, errs *entry.Errors, places *entry.Places, read func(*entry.Reader, []byte) []T) ([]T, error) {
	name := list + ".yaml"
	data, err := readFile(files, name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	r := &entry.Reader{File: name, Errs: errs}
	if places != nil {
		r.Lines = make(map[string]int)
	}
	out := read(r, data)
	if places != nil {
		places.TakeList(list, name, r.Lines)
	}
	return out, nil
}
