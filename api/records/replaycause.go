package records

import (
	"errors"
	"slices"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/compare"
)

// causes says why answers are different. Between then and now stands a third answer, that of
// today's program and model to the catalogue of then: what differs from then to there is the program's
// or the model's doing, what differs from there to now is the catalogue's.
type causes struct {
	known     bool // whether there is that third answer
	program   map[string]bool
	catalogue map[string]bool
	values    []gen.ChangedValue // of all species listed
	sentences map[gen.ReplayCauseKind]string
	byProgram gen.ReplayCauseKind // model or program
}

func (p *replay) causes(now *gen.Check, moved []gen.MovedSpecies) (*causes, error) {
	out := &causes{byProgram: gen.ReplayCauseProgram, values: []gen.ChangedValue{}, sentences: p.sentences(now)}
	if p.then.ModelVersion != now.ModelVersion {
		out.byProgram = gen.ReplayCauseModel
	}
	if p.past == nil {
		return out, nil
	}
	between, err := judgeOn(p.past, &p.input, p.budget)
	var refused *respond.Fault
	switch {
	case errors.As(err, &refused): // it is not the catalogue of then, whatever its number
		return out, nil
	case err != nil:
		return nil, err
	}
	out.known, out.values = true, p.changedValues(moved)
	out.program, out.catalogue = differencesOf(&p.then, &between).keys(), differencesOf(&between, now).keys()
	return out, nil
}

// of are the causes of a difference that concerns some species, or all of the list.
func (c *causes) of(key string, concerned []string) []gen.ReplayCause {
	if !c.known {
		return []gen.ReplayCause{c.cause(gen.ReplayCauseNotKnown)}
	}
	out := []gen.ReplayCause{}
	if c.catalogue[key] {
		cause := c.cause(gen.ReplayCauseCatalogue)
		cause.Values = c.valuesOf(concerned)
		out = append(out, cause)
	}
	if c.program[key] {
		out = append(out, c.cause(c.byProgram))
	}
	return out
}

func (c *causes) cause(kind gen.ReplayCauseKind) gen.ReplayCause {
	return gen.ReplayCause{Kind: kind, Summary: c.sentences[kind]}
}

// valuesOf are the changed values of the species concerned; where none was changed it is the company
// that made the difference, and they are those of all.
func (c *causes) valuesOf(concerned []string) *[]gen.ChangedValue {
	own := slices.DeleteFunc(slices.Clone(c.values), func(v gen.ChangedValue) bool { return !slices.Contains(concerned, v.Species) })
	if len(own) == 0 {
		own = c.values
	}
	return &own
}

// changedValues are the values that were changed of the species listed, under their ids of today.
func (p *replay) changedValues(moved []gen.MovedSpecies) []gen.ChangedValue {
	var before, after species.Catalogue
	seen := map[string]bool{}
	for i := range p.then.Lines {
		id := p.then.Lines[i].Species.Id
		if seen[id] {
			continue
		}
		seen[id] = true
		now := idNow(moved, id)
		before.Species = append(before.Species, entryAs(p.past, id, now))
		after.Species = append(after.Species, entryAs(p.book, now, now))
	}
	out := []gen.ChangedValue{}
	for _, e := range compare.Catalogues(before, after).Changed {
		for _, f := range e.Fields {
			if judgedBy(f) {
				out = append(out, gen.ChangedValue{Species: string(e.ID), Field: f.Field, Old: wire.Present(f.Old), New: wire.Present(f.New)})
			}
		}
	}
	return out
}

// entryAs is an entry of a book, which has it, under an id.
func entryAs(book *conflict.Book, id, as string) *species.Species {
	entry, _ := book.Snapshot.ByID(species.ID(id))
	if id == as {
		return entry
	}
	renamed := *entry
	renamed.ID = species.ID(as)
	return &renamed
}

// spoken are the fields that are there for people: no answer rests on them.
var spoken = []string{"scientific_name", "synonyms", "availability", "legal_note", "note", "basis"}

// judgedBy reports whether a changed field can change an answer.
func judgedBy(f compare.FieldChange) bool {
	if slices.Contains(spoken, f.Field) || strings.HasPrefix(f.Field, "names ") || strings.HasPrefix(f.Field, "reviewed ") {
		return false
	}
	return withoutBasis(f.Field, f.Old) != withoutBasis(f.Field, f.New)
}

// withoutBasis is a value without the last of its words, where that is the basis.
func withoutBasis(field, value string) string {
	for _, based := range [...]string{"trait ", "male ", "female ", "water ", "zones", "feeding_zones"} {
		if strings.HasPrefix(field, based) {
			return value[:max(0, strings.LastIndexByte(value, ' '))]
		}
	}
	return value
}
