package api

import (
	"errors"
	"net/http"
	"strconv"

	"commensal/api/gen"
	"commensal/internal/species"
)

// named is a species name and where in the request it stands.
type named struct {
	in      gen.FieldErrorIn
	pointer string
	name    string
}

// inPath is a name in the path.
func inPath(parameter, name string) named {
	return named{gen.Path, "/path/" + parameter, name}
}

// maxCandidates bounds the candidates told for one name.
const maxCandidates = 50

// resolveAll resolves every name, or tells of all that do not resolve. In the path an
// unknown name is 404 and text that cannot be a name 400; in a body both are 422, as
// an ambiguous name is anywhere.
func resolveAll(snap *species.Snapshot, names ...named) ([]species.Match, error) {
	matches := make([]species.Match, len(names))
	var bad badNames
	for i, n := range names {
		m, err := snap.Resolve(n.name)
		if err != nil {
			bad.add(n, err)
		}
		matches[i] = m
	}
	return matches, bad.err()
}

// badNames gathers the names of one request that do not resolve.
type badNames struct {
	fields                       []gen.FieldError
	unknown, ambiguous, unusable int
	path                         bool
}

func (b *badNames) add(n named, err error) {
	b.path = b.path || n.in == gen.Path
	var unknown *species.UnknownNameError
	var ambiguous *species.AmbiguousNameError
	var bad *species.BadNameError
	switch {
	case errors.As(err, &unknown):
		b.unknown++
		b.list(n, "No species is called "+strconv.Quote(printable(unknown.Name))+".", "choose a candidate, or search with /v1/species?q=", unknown.Near)
	case errors.As(err, &ambiguous):
		b.ambiguous++
		b.list(n, strconv.Quote(printable(ambiguous.Name))+" may mean several species.", "choose a candidate and give its id", ambiguous.Candidates)
	case errors.As(err, &bad):
		b.unusable++
		b.list(n, strconv.Quote(bad.Name)+" cannot be a species name: "+bad.What+".", "write an id, a scientific or a vernacular name", nil)
	}
}

func (b *badNames) list(n named, detail, fix string, candidates []species.Candidate) {
	e := atField(n.in, n.pointer, detail, fix)
	if len(candidates) > 0 {
		refs := make([]gen.SpeciesRef, min(len(candidates), maxCandidates))
		for i := range refs {
			c := candidates[i]
			refs[i] = gen.SpeciesRef{Id: string(c.ID), ScientificName: c.ScientificName, VernacularName: c.VernacularName}
		}
		e.Candidates = &refs
	}
	b.fields = append(b.fields, e)
}

// err is the problem of all names together; the gravest decides its type.
func (b *badNames) err() error {
	if len(b.fields) == 0 {
		return nil
	}
	f := &fault{slug: ambiguousSpecies, status: http.StatusUnprocessableEntity, fields: b.fields, detail: sentence(b.fields)}
	switch {
	case b.unusable > 0 && b.path:
		f.slug, f.status = malformedParameter, http.StatusBadRequest
	case b.unusable > 0:
		f.slug = impossibleValue
	case b.unknown > 0:
		f.slug = unknownSpecies
		if b.path {
			f.status = http.StatusNotFound
		}
	}
	return f
}
