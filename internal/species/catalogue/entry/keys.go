package entry

import (
	"commensal/internal/species"
	"go.yaml.in/yaml/v3"
)

// Blocks reads the list of entries that a species file is.
func (r *Reader) Blocks(root *yaml.Node, places *Places) []*species.Species {
	if !r.expect(root, yaml.SequenceNode, "") {
		return nil
	}
	if len(root.Content) == 0 {
		r.Fail(root, "", "the file holds no entry")
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
func (r *Reader) placedBlock(n *yaml.Node, places *Places) *species.Species {
	if places == nil {
		return r.block(n)
	}
	r.Lines = map[string]int{"": n.Line}
	s := r.block(n)
	places.entries[s] = entryPlace{r.File, r.Lines}
	return s
}

// block reads one entry.
func (r *Reader) block(n *yaml.Node) *species.Species {
	r.Species = blockName(n)
	defer func() { r.Species = "" }()
	s := &species.Species{}
	r.Mapping(n, "", func(key string, _, v *yaml.Node) bool {
		return r.Key(key, v, s)
	})
	if n.Kind != yaml.MappingNode {
		return s
	}
	s.ID = species.MakeID(s.ScientificName, s.Form)
	if s.ScientificName == "" {
		r.Fail(n, "scientific_name", "the block has no scientific name")
	} else if !IsID(string(s.ID)) {
		r.Fail(n, "scientific_name", "%s makes no id of letters a-z and digits", Shorten(s.ScientificName))
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

// IsID reports whether an id is words of a-z and digits with hyphens between them.
func IsID(id string) bool {
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

// Key reads the value under a key of the text into an entry. Known is false, and nothing is read, where entries have no such key.
func (r *Reader) Key(key string, n *yaml.Node, s *species.Species) (known bool) {
	read, known := blockKeys[key]
	if known {
		read(r, n, s)
	}
	return known
}

// blockKeys are the keys of an entry with what reads them. [Outline] writes them.
var blockKeys = map[string]func(*Reader, *yaml.Node, *species.Species){
	"scientific_name": text("scientific_name", func(s *species.Species) *string { return &s.ScientificName }),
	"form":            text("form", func(s *species.Species) *string { return &s.Form }),
	"form_of":         text("form_of", func(s *species.Species) *species.ID { return &s.FormOf }),
	"family":          text("family", func(s *species.Species) *string { return &s.Family }),
	"shape":           word("shape", Shapes, func(s *species.Species) *string { return &s.Shape }),
	"body_form":       word("body_form", BodyForms, func(s *species.Species) *species.BodyForm { return &s.BodyForm }),
	"guild":           word("guild", Guilds, func(s *species.Species) *species.Guild { return &s.Guild }),
	"feeds_by":        word("feeds_by", Feedings, func(s *species.Species) *species.Feeding { return &s.FeedsBy }),
	"active":          word("active", ActiveHours, func(s *species.Species) *species.Hours { return &s.Active }),
	"availability":    word("availability", Availabilities, func(s *species.Species) *species.Availability { return &s.Available }),
	"social":          word("social", Socials, func(s *species.Species) *species.Social { return &s.Social }),
	"legal_note":      text("legal_note", func(s *species.Species) *string { return &s.LegalNote }),
	"note":            text("note", func(s *species.Species) *string { return &s.Note }),
	"synonyms":        texts[string]("synonyms", nil, func(s *species.Species) *[]string { return &s.Synonyms }),
	"hybridises":      texts[string]("hybridises", nil, func(s *species.Species) *[]string { return &s.Hybridises }),
	"colours":         texts("colours", Colours, func(s *species.Species) *[]string { return &s.Colours }),
	"needs":           texts("needs", Needs, func(s *species.Species) *[]string { return &s.Needs }),
	"cautions":        texts("cautions", Cautions, func(s *species.Species) *[]species.Caution { return &s.Cautions }),
	"names":           (*Reader).names,
	"reviewed":        (*Reader).reviewed,
	"checked":         (*Reader).checked,
	"basis":           (*Reader).basis,
	"sold_as":         (*Reader).soldAs,
	"sexed_in_trade":  func(r *Reader, n *yaml.Node, s *species.Species) { s.SexedTrade, _ = r.boolean(n, "sexed_in_trade") },
	"traits":          traits("trait", func(s *species.Species) *species.TraitSet { return &s.Traits }),
	"male":            traits("male", func(s *species.Species) *species.TraitSet { return &s.MaleTraits }),
	"female":          traits("female", func(s *species.Species) *species.TraitSet { return &s.FemaleTraits }),
	"water":           (*Reader).water,
	"zones":           func(r *Reader, n *yaml.Node, s *species.Species) { s.Zones = r.zoneUse(n, "zones") },
	"feeding_zones":   func(r *Reader, n *yaml.Node, s *species.Species) { s.FeedingZones = r.zoneUse(n, "feeding_zones") },
}

// blockReader reads the value of one key into an entry.
type blockReader = func(*Reader, *yaml.Node, *species.Species)

func text[T ~string](field string, at func(*species.Species) *T) blockReader {
	return func(r *Reader, n *yaml.Node, s *species.Species) {
		if t, ok := r.Text(n, field); ok {
			*at(s) = T(t)
		}
	}
}

func word[T ~string](field string, list []T, at func(*species.Species) *T) blockReader {
	return func(r *Reader, n *yaml.Node, s *species.Species) {
		if t, ok := r.Text(n, field); ok && checkWord(r, n, field, list, T(t)) {
			*at(s) = T(t)
		}
	}
}

// texts reads a list of texts, of the allowed ones where a list of them is given.
func texts[T ~string](field string, list []T, at func(*species.Species) *[]T) blockReader {
	return func(r *Reader, n *yaml.Node, s *species.Species) {
		for _, t := range r.List(n, field) {
			if list == nil || checkWord(r, n, field, list, T(t)) {
				*at(s) = append(*at(s), T(t))
			}
		}
	}
}

func checkWord[T ~string](r *Reader, n *yaml.Node, field string, list []T, word T) bool {
	if !Allowed(list, word) {
		r.Fail(n, field, "%s is none of: %s", Shorten(string(word)), Listed(list))
		return false
	}
	return true
}
