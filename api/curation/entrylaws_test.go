package curation

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"

	"commensal"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/lookups"
	"commensal/api/validate"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/compare"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/store"

	"pgregory.net/rapid"
)

// Whatever body is sent, it is refused or makes an entry that the text of the catalogue
// can hold.
func FuzzEntry(f *testing.F) {
	snap := fixture.Few(f).Snapshot
	for i := range snap.Len() {
		text, err := json.Marshal(lookups.SpeciesEntry(1, snap.Sources(), snap.At(i)))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) { holds(t, text) })
}

// tb is what a fuzz target and a property have in common.
type tb interface {
	Fatalf(format string, args ...any)
}

// holds reads an entry as PutSpecies does, and makes text of it and reads it back.
func holds(t tb, text []byte) (accepted bool) {
	decoded, err := validate.DecodeStrictly(text)
	if err != nil || contractOf().Operations["saveSpecies"].Fits(decoded) != nil {
		return false
	}
	var in gen.SpeciesWrite
	if err := json.Unmarshal(text, &in); err != nil {
		t.Fatalf("the contract takes what the types do not: %v", err)
	}
	r := readEntry(&in)
	r.citations(nil, nil)
	after := newEdition(store.Revision{}, species.Catalogue{}).with(r.species, r.sources)
	if r.found.Err() != nil || r.refused(verify.Catalogue(after)) != nil {
		return false
	}
	var out strings.Builder
	if err := catalogue.Format(&out, after.Species); err != nil {
		t.Fatalf("%v", err)
	}
	back, err := catalogue.ParseFile("f", []byte(out.String()))
	if err != nil {
		t.Fatalf("the text cannot hold it: %v\n%s", err, &out)
	}
	if d := compare.Catalogues(after, species.Catalogue{Species: back, Sources: after.Sources}); !d.None() {
		t.Fatalf("%+v", d)
	}
	return true
}

// leaves lists the places of an entry where a text or a number stands.
func leaves(v any, at []any) (out [][]any) {
	switch v := v.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(v)) {
			out = append(out, leaves(v[key], append(slices.Clone(at), key))...)
		}
	case []any:
		for i := range v {
			out = append(out, leaves(v[i], append(slices.Clone(at), i))...)
		}
	default:
		out = append(out, at)
	}
	return out
}

// The same of entries in which a few values are other ones.
func TestWhateverEntryIsAcceptedTheTextCanHold(t *testing.T) {
	snap := fixture.Few(t).Snapshot
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		sp := snap.At(rapid.IntRange(0, snap.Len()-1).Draw(t, "entry"))
		plain, err := plainJSON(lookups.SpeciesEntry(1, snap.Sources(), sp))
		if err != nil {
			t.Fatal(err)
		}
		entry := plain.(map[string]any)
		for range rapid.IntRange(0, 3).Draw(t, "changes") {
			at := rapid.SampledFrom(leaves(entry, nil)).Draw(t, "where")
			value := rapid.OneOf(rapid.Map(rapid.String(), asAny[string]), rapid.Map(rapid.Float64(), asAny[float64]),
				rapid.Map(rapid.SampledFrom([]string{"", "true", "null", "~", "1", "a: b", "# a", "'", "\\", "é", "\u200d", "\u2028", "- a", "{a}", "source:k", "memory", "male"}), asAny[string])).Draw(t, "value")
			fixture.Set(value, at...)(entry)
		}
		text, err := json.Marshal(entry)
		if err != nil {
			t.Fatal(err)
		}
		if holds(t, text) {
			accepted++
		}
	})
	if accepted < 20 {
		t.Errorf("only %d entries were accepted: the test shows little", accepted)
	}
}

func asAny[T any](v T) any { return v }

var contractOf = sync.OnceValue(func() *validate.Contract {
	c, err := validate.Compile(commensal.Contract())
	if err != nil {
		panic(err)
	}
	return c
})

// plainJSON is a value as JSON has it: maps, lists, numbers, texts.
func plainJSON(v any) (out any, err error) {
	text, err := json.Marshal(v)
	if err == nil {
		err = json.Unmarshal(text, &out)
	}
	return out, err
}
