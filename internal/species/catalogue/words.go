package catalogue

import (
	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
	"go.yaml.in/yaml/v3"
)

// ParseWords reads the text of a words.yaml. Name stands in the faults, which come back
// together as [entry.Errors].
func ParseWords(name string, data []byte) ([]species.GroupWord, error) {
	return parseList(name, data, groupWords)
}

// ParseSources reads the text of a sources.yaml, as [ParseWords] does.
func ParseSources(name string, data []byte) ([]species.Source, error) {
	return parseList(name, data, sources)
}

func parseList[T any](name string, data []byte, read func(*entry.Reader, []byte) []T) ([]T, error) {
	var errs entry.Errors
	list := read(&entry.Reader{File: name, Errs: &errs}, data)
	if err := errs.OrNil(); err != nil {
		return nil, err
	}
	return list, nil
}

// groupWords reads words.yaml: a mapping from each word to its candidates.
func groupWords(r *entry.Reader, data []byte) []species.GroupWord {
	root := document(r, data)
	if root == nil {
		return nil
	}
	var out []species.GroupWord
	r.Mapping(root, "", func(word string, _, v *yaml.Node) bool {
		g := species.GroupWord{Word: word}
		for _, id := range r.List(v, word) {
			if !entry.IsID(id) {
				r.Fail(v, word, "%s is not an id", entry.Shorten(id))
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
func sources(r *entry.Reader, data []byte) []species.Source {
	root := document(r, data)
	if root == nil {
		return nil
	}
	var out []species.Source
	r.Mapping(root, "", func(key string, k, v *yaml.Node) bool {
		if !entry.IsSourceKey(key) {
			r.Fail(k, key, "a key is made of letters, digits, '.', '_' and '-'")
		}
		if citation, ok := r.Text(v, key); ok {
			out = append(out, species.Source{Key: key, Citation: citation})
		}
		return true
	})
	return out
}
