package catalogue

import (
	"commensal/internal/species"
	"go.yaml.in/yaml/v3"
)

// ParseWords reads the text of a words.yaml. Name stands in the faults, which come back
// together as [Errors].
func ParseWords(name string, data []byte) ([]species.GroupWord, error) {
	return parseList(name, data, (*reader).groupWords)
}

// ParseSources reads the text of a sources.yaml, as [ParseWords] does.
func ParseSources(name string, data []byte) ([]species.Source, error) {
	return parseList(name, data, (*reader).sources)
}

func parseList[T any](name string, data []byte, read func(*reader, []byte) []T) ([]T, error) {
	var errs Errors
	list := read(&reader{file: name, errs: &errs}, data)
	if err := errs.orNil(); err != nil {
		return nil, err
	}
	return list, nil
}

// groupWords reads words.yaml: a mapping from each word to its candidates.
func (r *reader) groupWords(data []byte) []species.GroupWord {
	root := r.document(data)
	if root == nil {
		return nil
	}
	var out []species.GroupWord
	r.mapping(root, "", func(word string, _, v *yaml.Node) bool {
		g := species.GroupWord{Word: word}
		for _, id := range r.list(v, word) {
			if !isID(id) {
				r.fail(v, word, "%s is not an id", shorten(id))
				continue
			}
			g.Candidates = append(g.Candidates, species.ID(id))
		}
		out = append(out, g)
		return true
	})
	return out
}

// sources reads sources.yaml: a mapping from each key to its citation.
func (r *reader) sources(data []byte) []species.Source {
	root := r.document(data)
	if root == nil {
		return nil
	}
	var out []species.Source
	r.mapping(root, "", func(key string, k, v *yaml.Node) bool {
		if !isSourceKey(key) {
			r.fail(k, key, "a key is made of letters, digits, '.', '_' and '-'")
		}
		if citation, ok := r.text(v, key); ok {
			out = append(out, species.Source{Key: key, Citation: citation})
		}
		return true
	})
	return out
}
