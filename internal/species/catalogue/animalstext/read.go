// Package animalstext reads animals.yaml, the animals of the trade that are no fish of the catalogue.
package animalstext

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
	"go.yaml.in/yaml/v3"
)

// File is the name of the text in a catalogue folder.
const File = "animals.yaml"

// MaxBytes is the size of the largest text that is read.
const MaxBytes = 1 << 20

// MaxSentence is the most characters of a sentence: a name of a till has room beside it in an answer of 140.
const MaxSentence = 110

// Read reads the animals of a catalogue folder, none where it has no animals.yaml. Faults come back together as
// [entry.Errors] with their lines.
func Read(files fs.FS) ([]species.OtherAnimal, error) {
	data, err := fs.ReadFile(files, File)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("catalogue: %w", err)
	}
	return Parse(File, data)
}

// Parse reads the text of an animals.yaml. Name stands in the faults.
func Parse(name string, data []byte) ([]species.OtherAnimal, error) {
	var errs entry.Errors
	r := &reader{Reader: &entry.Reader{File: name, Errs: &errs}, names: map[string]int{}}
	r.text(data)
	if err := errs.OrNil(); err != nil {
		return nil, err
	}
	return r.animals, nil
}

type reader struct {
	*entry.Reader
	animals []species.OtherAnimal
	names   map[string]int // the animal that has a name, by its normal form
}

func (r *reader) text(data []byte) {
	for _, n := range r.ListOf("animals", data, MaxBytes) {
		r.animals = append(r.animals, r.animal(n))
	}
}

// animal reads one block.
func (r *reader) animal(n *yaml.Node) (a species.OtherAnimal) {
	r.Mapping(n, "", func(key string, _, v *yaml.Node) bool {
		switch key {
		case "animal":
			a.Name, _ = r.Text(v, key)
		case "kind":
			a.Kind = r.kind(v)
		case "scientific_names":
			a.Names = append(a.Names, r.namesOf(v, key)...)
		case "names":
			r.Mapping(v, key, func(language string, k, list *yaml.Node) bool {
				if !entry.IsLanguage(language) {
					r.Fail(k, key, "%s is no language tag", entry.Shorten(language))
				}
				a.Names = append(a.Names, r.namesOf(list, key+" "+language)...)
				return true
			})
		case "sentence":
			a.Sentence = r.sentence(v, key)
		case "short":
			a.Short = r.sentence(v, key)
		default:
			return false
		}
		return true
	})
	if n.Kind == yaml.MappingNode {
		r.complete(n, &a)
	}
	return a
}

func (r *reader) kind(n *yaml.Node) species.GoodKind {
	text, ok := r.Text(n, "kind")
	kind := species.GoodKind(text)
	if ok && !kind.Animal() {
		r.Fail(n, "kind", "%s is no kind of animal: %s", entry.Shorten(text), entry.Listed(species.AnimalKinds()))
	}
	return kind
}

// namesOf reads names. One name means one animal; the same name in another language of the same animal counts once.
func (r *reader) namesOf(n *yaml.Node, field string) (out []string) {
	for _, name := range r.List(n, field) {
		key := species.NameKey(name)
		if key == "" {
			r.Fail(n, field, "%s has no letter or digit", entry.Shorten(name))
			continue
		}
		switch animal, again := r.names[key]; {
		case !again:
			r.names[key] = len(r.animals)
			out = append(out, name)
		case animal != len(r.animals):
			r.Fail(n, field, "%s is a name of %s already", entry.Shorten(name), r.animals[animal].Name)
		}
	}
	return out
}

// sentence reads a sentence with the name in it.
func (r *reader) sentence(n *yaml.Node, field string) string {
	text, ok := r.Text(n, field)
	switch {
	case !ok:
	case strings.Count(text, "{word}") != 1 || strings.Count(text, "{") != 1:
		r.Fail(n, field, "%s must have {word} in it, once, and no other braces", entry.Shorten(text))
	case len([]rune(text)) > MaxSentence:
		r.Fail(n, field, "the text is longer than %d characters", MaxSentence)
	case strings.HasSuffix(text, ".") != (field == "sentence"):
		r.Fail(n, field, "a sentence ends with a full stop, its short form does not")
	}
	return text
}

// complete checks that a block has what every one has.
func (r *reader) complete(n *yaml.Node, a *species.OtherAnimal) {
	for _, part := range []struct {
		field   string
		missing bool
	}{{"animal", a.Name == ""}, {"kind", a.Kind == ""}, {"names", len(a.Names) == 0}} {
		if part.missing {
			r.Fail(n, part.field, "missing")
		}
	}
	if (a.Sentence == "") != (a.Short == "") {
		r.Fail(n, "sentence", "a sentence and its short form come together")
	}
	if slices.ContainsFunc(r.animals, func(b species.OtherAnimal) bool { return b.Name == a.Name && a.Name != "" }) {
		r.Fail(n, "animal", "%s stands in the list already", entry.Shorten(a.Name))
	}
}
