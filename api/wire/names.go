// Package wire is what several rooms read and write alike: names of species, quantities with units, rounded numbers,
// shared water, cautions.
package wire

import (
	"errors"
	"net/http"
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/internal/species"
	"commensal/internal/stocking/wording"
)

// Named is a species name and where in the request it stands.
type Named struct {
	In      gen.FieldErrorIn
	Pointer string
	Name    string
	Article string // the number of the article that has the name; empty for a name that was written there
}

// InPath is a name in the path.
func InPath(parameter, name string) Named {
	return Named{In: gen.Path, Pointer: "/path/" + parameter, Name: name}
}

// InQuery is a name in the query.
func InQuery(parameter, name string) Named {
	return Named{In: gen.Query, Pointer: "/query/" + parameter, Name: name}
}

// InBody is a name in the body.
func InBody(pointer, name string) Named { return Named{In: gen.Body, Pointer: pointer, Name: name} }

// maxCandidates bounds the candidates told for one name, and maxAllCandidates those for all
// names of a request together: a problem stays below 200 KiB.
const (
	maxCandidates    = 12
	maxAllCandidates = 500
)

// ResolveAll resolves every name, or tells of all that do not resolve. In the path an
// unknown name is 404 and text that cannot be a name 400; in a body both are 422, as
// an ambiguous name is anywhere.
func ResolveAll(snap *species.Snapshot, names ...Named) ([]species.Match, error) {
	matches := make([]species.Match, len(names))
	var bad BadNames
	for i, n := range names {
		if bad.full() {
			break
		}
		m, err := snap.Resolve(n.Name)
		if err != nil {
			bad.add(n, err)
		}
		matches[i] = m
	}
	return matches, bad.err()
}

// BadNames gathers the names of one request that do not resolve.
type BadNames struct {
	Fields                       []gen.FieldError
	unknown, ambiguous, unusable int
	others                       int // known to be no fish
	candidates                   int
	path                         bool
}

// minCandidates are told for each name in any case.
const minCandidates = 5

// full reports that as many names are told of as may be: the others are not looked up.
func (b *BadNames) full() bool { return len(b.Fields) >= respond.MaxEntries }

func (b *BadNames) add(n Named, err error) {
	b.path = b.path || n.In == gen.Path
	var unknown *species.UnknownNameError
	var ambiguous *species.AmbiguousNameError
	var bad *species.BadNameError
	switch {
	case errors.As(err, &unknown) && unknown.Other != nil:
		b.others++
		b.list(n, wording.English(false).OtherGood(unknown.Other, validate.Printable(unknown.Name)), "leave it out, or give the scientific name if a fish was meant", nil)
	case errors.As(err, &unknown):
		b.unknown++
		fix := "choose a candidate, or search with /v1/species?q="
		if len(unknown.Near) == 0 {
			fix = "look at how it is written, or search with /v1/species?q="
		}
		b.list(n, "No species is called "+strconv.Quote(validate.Printable(unknown.Name))+".", fix, unknown.Near)
	case errors.As(err, &ambiguous):
		b.ambiguous++
		b.list(n, strconv.Quote(validate.Printable(ambiguous.Name))+" may mean several species.", "choose a candidate and give its id", ambiguous.Candidates)
	case errors.As(err, &bad):
		b.unusable++
		b.list(n, strconv.Quote(bad.Name)+" cannot be a species name: "+bad.What+".", "write an id, a scientific or a vernacular name", nil)
	}
}

func (b *BadNames) list(n Named, detail, fix string, candidates []species.Candidate) {
	if n.Article != "" {
		detail = "Article " + strconv.Quote(validate.Printable(n.Article)) + ": " + detail
		fix += "; PATCH /v1/stock/{article} with the species settles it"
	}
	e := respond.AtField(n.In, n.Pointer, detail, fix)
	if len(candidates) > 0 {
		refs := make([]gen.SpeciesRef, min(len(candidates), maxCandidates, max(minCandidates, maxAllCandidates-b.candidates)))
		b.candidates += len(refs)
		for i := range refs {
			c := candidates[i]
			refs[i] = gen.SpeciesRef{Id: string(c.ID), ScientificName: c.ScientificName, VernacularName: c.VernacularName}
		}
		e.Candidates = &refs
	}
	b.Fields = append(b.Fields, e)
}

// err is the problem of all names together; the gravest decides its type.
func (b *BadNames) err() error {
	if len(b.Fields) == 0 {
		return nil
	}
	f := &respond.Fault{Slug: respond.AmbiguousSpecies, Status: http.StatusUnprocessableEntity, Entries: b.Fields, Detail: respond.Sentence(b.Fields)}
	switch {
	case b.unusable > 0 && b.path:
		f.Slug, f.Status = respond.MalformedParameter, http.StatusBadRequest
	case b.unusable > 0:
		f.Slug = respond.ImpossibleValue
	case b.unknown > 0:
		f.Slug = respond.UnknownSpecies
		if b.path {
			f.Status = http.StatusNotFound
		}
	case b.others > 0:
		f.Slug = respond.NotAFish
		if b.path {
			f.Status = http.StatusNotFound
		}
	}
	return f
}
