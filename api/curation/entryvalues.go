package curation

import (
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/species"
)

// traitsOf is the set of traits of a sex with the name that verification has for it.
func traitsOf(s *species.Species, sex species.Sex) (*species.TraitSet, string) {
	switch sex {
	case species.Male:
		return &s.MaleTraits, "male "
	case species.Female:
		return &s.FemaleTraits, "female "
	}
	return &s.Traits, "trait "
}

func (r *entryReader) trait(at string, in gen.TraitWrite) {
	t, ok := species.TraitByKey(in.Trait)
	if !ok {
		fix := "leave it out"
		if near, ok := validate.Nearest(in.Trait, traitKeys()); ok {
			fix = "did you mean " + near + "?"
		}
		r.refuse(at+"/trait", "There is no trait "+strconv.Quote(validate.Printable(in.Trait))+".", fix)
		return
	}
	set, label := traitsOf(r.species, wire.Sex(wire.Value(in.Sex)))
	if set[t].Known() {
		r.refuse(at, "The "+label+in.Trait+" is given twice.", "give it once")
	}
	r.spots[label+in.Trait] = at
	r.unit(at, in.Unit, string(t.Info().Unit))
	set[t] = species.Value{Band: species.Band{Low: in.Low, Typical: in.Typical, High: in.High}, Basis: r.basis(at, in.Basis)}
}

func traitKeys() []string {
	keys := make([]string, species.NumTraits)
	for t := range keys {
		keys[t] = species.Trait(t).String()
	}
	return keys
}

func (r *entryReader) unit(at, given, want string) {
	if given != want {
		r.refuse(at+"/unit", "The unit "+strconv.Quote(validate.Printable(given))+" is not "+want+".", "give the values in "+want+"; nothing is converted here")
	}
}

// basis refuses a value that rests on nothing: what has no basis is absent everywhere else.
func (r *entryReader) basis(at, text string) species.Basis {
	if text == "" {
		r.refuse(at+"/basis", "The basis is empty.", "write memory, or source:KEY with KEY among the sources")
	}
	return species.Basis(text)
}

func (r *entryReader) water(at string, in gen.WaterWrite) {
	for p, known := range wire.WaterParameters {
		if known.Name != in.Parameter {
			continue
		}
		info := species.Parameter(p).Info()
		w := &r.species.Water[p]
		if w.Known() {
			r.refuse(at, "The water parameter "+string(in.Parameter)+" is given twice.", "give it once")
		}
		r.spots["water "+info.Key] = at
		r.unit(at, in.Unit, info.Unit)
		*w = species.WaterRange{Tolerated: rangeOf(in.Tolerated), Preferred: rangeOf(in.Preferred), Basis: r.basis(at, in.Basis)}
	}
}

func rangeOf(in gen.IntervalWrite) species.Range { return species.Range{Low: in.Low, High: in.High} }

func (r *entryReader) zones(at string, in *gen.ZoneSharesWrite) (z species.ZoneUse) {
	if in != nil {
		z.Share[species.Surface], z.Share[species.Middle], z.Share[species.Bottom] = in.Surface, in.Middle, in.Bottom
		z.Basis = r.basis(at, in.Basis)
	}
	return z
}

// otherwise are the places of the fields that have another name in the body, or whose
// values stand one below another.
var otherwise = map[string]string{"id": "/scientific_name", "words": "/scientific_name", "guild": "/feeding_guild", "hybridises": "/hybridises_with",
	"trait": "/traits", "male": "/traits", "female": "/traits"}

// pointer is the place in the body of a field that verification names.
func (r *entryReader) pointer(field string) string {
	if at, ok := r.spots[field]; ok {
		return at
	}
	group, _, _ := strings.Cut(field, " ")
	if at, ok := otherwise[group]; ok {
		return at
	}
	return "/" + respond.PointerToken(group)
}

// item is the place of the very text in a list that the detail of a problem begins with.
func (r *entryReader) item(list, detail string) string {
	quoted, err := strconv.QuotedPrefix(detail)
	if err != nil {
		return list
	}
	text, _ := strconv.Unquote(quoted) // it has just been found to be quoted
	for _, at := range r.items[text] {
		if strings.HasPrefix(at, list+"/") {
			return at
		}
	}
	return list
}
