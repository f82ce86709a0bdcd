package catalogue

import (
	"commensal/internal/species"
	"go.yaml.in/yaml/v3"
)

// blocks reads the list of entries that a species file is.
func (r *reader) blocks(root *yaml.Node, places *Places) []*species.Species {
	if !r.expect(root, yaml.SequenceNode, "") {
		return nil
	}
	if len(root.Content) == 0 {
		r.fail(root, "", "the file holds no entry")
	}
	list := make([]*species.Species, 0, len(root.Content))
	for _, n := range root.Content {
		s := r.placedBlock(n, places)
		list = append(list, s)
	}
	return list
}

// placedBlock reads one entry and notes where its fields stand, if places are asked
// for.
func (r *reader) placedBlock(n *yaml.Node, places *Places) *species.Species {
	if places == nil {
		return r.block(n)
	}
	r.lines = map[string]int{"": n.Line}
	s := r.block(n)
	places.entries[s] = entryPlace{r.file, r.lines}
	return s
}

// block reads one entry.
func (r *reader) block(n *yaml.Node) *species.Species {
	r.species = blockName(n)
	defer func() { r.species = "" }()
	s := &species.Species{}
	r.mapping(n, "", func(key string, _, v *yaml.Node) bool {
		read, ok := blockKeys[key]
		if ok {
			read(r, v, s)
		}
		return ok
	})
	if n.Kind != yaml.MappingNode {
		return s
	}
	s.ID = species.MakeID(s.ScientificName, s.Form)
	if s.ScientificName == "" {
		r.fail(n, "scientific_name", "the block has no scientific name")
	} else if !isID(string(s.ID)) {
		r.fail(n, "scientific_name", "%s makes no id of letters a-z and digits", shorten(s.ScientificName))
	}
	return s
}

// blockName is the scientific name of a block, for its faults.
func blockName(n *yaml.Node) string {
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == "scientific_name" {
			return n.Content[i+1].Value
		}
	}
	return ""
}

// isID reports whether an id is words of a-z and digits with hyphens between them.
func isID(id string) bool {
	start := true
	for _, c := range id {
		switch {
		case 'a' <= c && c <= 'z', '0' <= c && c <= '9':
			start = false
		case c == '-' && !start:
			start = true
		default:
			return false
		}
	}
	return !start
}

// blockKeys are the keys of a block with what reads them. [outline] writes them.
var blockKeys = map[string]func(*reader, *yaml.Node, *species.Species){
	"scientific_name": text("scientific_name", func(s *species.Species) *string { return &s.ScientificName }),
	"form":            text("form", func(s *species.Species) *string { return &s.Form }),
	"form_of":         text("form_of", func(s *species.Species) *species.ID { return &s.FormOf }),
	"family":          text("family", func(s *species.Species) *string { return &s.Family }),
	"shape":           word("shape", shapes, func(s *species.Species) *string { return &s.Shape }),
	"body_form":       word("body_form", bodyForms, func(s *species.Species) *species.BodyForm { return &s.BodyForm }),
	"guild":           word("guild", guilds, func(s *species.Species) *species.Guild { return &s.Guild }),
	"social":          word("social", socials, func(s *species.Species) *species.Social { return &s.Social }),
	"legal_note":      text("legal_note", func(s *species.Species) *string { return &s.LegalNote }),
	"note":            text("note", func(s *species.Species) *string { return &s.Note }),
	"synonyms":        texts[string]("synonyms", nil, func(s *species.Species) *[]string { return &s.Synonyms }),
	"hybridises":      texts[string]("hybridises", nil, func(s *species.Species) *[]string { return &s.Hybridises }),
	"colours":         texts("colours", colours, func(s *species.Species) *[]string { return &s.Colours }),
	"needs":           texts("needs", needs, func(s *species.Species) *[]string { return &s.Needs }),
	"cautions":        texts("cautions", cautions, func(s *species.Species) *[]species.Caution { return &s.Cautions }),
	"names":           (*reader).names,
	"reviewed":        (*reader).reviewed,
	"basis":           (*reader).basis,
	"sold_as":         (*reader).soldAs,
	"sexed_in_trade":  func(r *reader, n *yaml.Node, s *species.Species) { s.SexedTrade, _ = r.boolean(n, "sexed_in_trade") },
	"traits":          traits("trait", func(s *species.Species) *species.TraitSet { return &s.Traits }),
	"male":            traits("male", func(s *species.Species) *species.TraitSet { return &s.MaleTraits }),
	"female":          traits("female", func(s *species.Species) *species.TraitSet { return &s.FemaleTraits }),
	"water":           (*reader).water,
	"zones":           func(r *reader, n *yaml.Node, s *species.Species) { s.Zones = r.zoneUse(n, "zones") },
	"feeding_zones":   func(r *reader, n *yaml.Node, s *species.Species) { s.FeedingZones = r.zoneUse(n, "feeding_zones") },
}

// blockReader reads the value of one key into an entry.
type blockReader = func(*reader, *yaml.Node, *species.Species)

func text[T ~string](field string, at func(*species.Species) *T) blockReader {
	return func(r *reader, n *yaml.Node, s *species.Species) {
		if t, ok := r.text(n, field); ok {
			*at(s) = T(t)
		}
	}
}

func word[T ~string](field string, list []T, at func(*species.Species) *T) blockReader {
	return func(r *reader, n *yaml.Node, s *species.Species) {
		if t, ok := r.text(n, field); ok && checkWord(r, n, field, list, T(t)) {
			*at(s) = T(t)
		}
	}
}

// texts reads a list of texts, of the allowed ones where a list of them is given.
func texts[T ~string](field string, list []T, at func(*species.Species) *[]T) blockReader {
	return func(r *reader, n *yaml.Node, s *species.Species) {
		for _, t := range r.list(n, field) {
			if list == nil || checkWord(r, n, field, list, T(t)) {
				*at(s) = append(*at(s), T(t))
			}
		}
	}
}

func checkWord[T ~string](r *reader, n *yaml.Node, field string, list []T, word T) bool {
	if !allowed(list, word) {
		r.fail(n, field, "%s is none of: %s", shorten(string(word)), listed(list))
		return false
	}
	return true
}
