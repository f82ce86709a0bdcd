package entry

import (
	"commensal/internal/species"
	"go.yaml.in/yaml/v3"
)

// traits reads a mapping of traits; the label tells the three of them apart in
// faults ("trait length", "male length").
func traits(label string, at func(*species.Species) *species.TraitSet) blockReader {
	return func(r *Reader, n *yaml.Node, s *species.Species) {
		set := at(s)
		r.Mapping(n, label, func(key string, _, v *yaml.Node) bool {
			t, ok := species.TraitByKey(key)
			if ok {
				set[t] = r.band(v, label+" "+key, t.Info().Unit)
			}
			return ok
		})
	}
}

func (r *Reader) water(n *yaml.Node, s *species.Species) {
	r.Mapping(n, "water", func(key string, _, v *yaml.Node) bool {
		p, ok := parameterByKey(key)
		if ok {
			s.Water[p] = r.waterRange(v, "water "+key, p.Info().Unit)
		}
		return ok
	})
}

func parameterByKey(key string) (species.Parameter, bool) {
	for p := range species.Parameter(species.NumParameters) {
		if p.Info().Key == key {
			return p, true
		}
	}
	return 0, false
}

// names reads the vernacular names, in the order of the text.
func (r *Reader) names(n *yaml.Node, s *species.Species) {
	r.Mapping(n, "names", func(language string, k, v *yaml.Node) bool {
		field := "names " + language
		if !IsLanguage(language) {
			r.Fail(k, "names", "%s is not a language tag such as en or zh-Hans", Shorten(language))
			return true
		}
		for _, name := range r.List(v, field) {
			s.Names = append(s.Names, species.Name{Language: language, Text: name})
		}
		return true
	})
}

func (r *Reader) basis(n *yaml.Node, s *species.Species) {
	if t, ok := r.Text(n, "basis"); ok && r.CheckBasis(n, "basis", species.Basis(t)) {
		s.Basis = species.Basis(t)
	}
}

// soldAs reads the sex that is customarily sold; both is said by leaving it out.
func (r *Reader) soldAs(n *yaml.Node, s *species.Species) {
	sexes := []string{species.Male.String(), species.Female.String()}
	t, ok := r.Text(n, "sold_as")
	if !ok || !checkWord(r, n, "sold_as", sexes, t) {
		return
	}
	s.SoldAs = species.Male
	if t == species.Female.String() {
		s.SoldAs = species.Female
	}
}
