package entry

import (
	"fmt"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v3"
)

// MaxText is the longest text in bytes: a note is a sentence or two.
const MaxText = 2000

// Reader walks the nodes of one file and collects its faults. Each reading method
// records what is wrong and then reports ok as false.
type Reader struct {
	File    string
	Species string // the entry at hand, for the faults
	Column  string // of a sheet; it stands in the faults in place of the field
	Errs    *Errors
	Lines   map[string]int // where each field of the entry stands; nil when nobody asks
}

// FailAt records a fault at a line, from 1.
func (r *Reader) FailAt(line int, field, detail string) {
	if r.Column != "" {
		field = r.Column
	}
	r.Errs.Add(LineError{File: r.File, Line: line, Species: r.Species, Field: field, Detail: detail})
}

// Fail records a fault of a node.
func (r *Reader) Fail(n *yaml.Node, field, format string, args ...any) {
	r.FailAt(n.Line, field, fmt.Sprintf(format, args...))
}

// kindWords names the kinds of nodes for people.
var kindWords = map[yaml.Kind]string{
	yaml.MappingNode: "a mapping of keys", yaml.SequenceNode: "a list", yaml.ScalarNode: "a single value",
}

// expect checks the kind of a node, and that it uses none of YAML's machinery that
// makes a text mean something else than it shows.
func (r *Reader) expect(n *yaml.Node, kind yaml.Kind, field string) bool {
	switch {
	case n.Kind == yaml.AliasNode:
		r.Fail(n, field, "aliases (*) are not allowed")
	case n.Anchor != "":
		r.Fail(n, field, "anchors (&) are not allowed")
	case n.Style&yaml.TaggedStyle != 0:
		r.Fail(n, field, "tags (!) are not allowed")
	case n.Kind != kind:
		r.Fail(n, field, "must be %s", kindWords[kind])
	default:
		return true
	}
	return false
}

// ListOf are the entries of a text that is a list of something, with the faults of what is no text, no YAML or no list; an
// empty text has none.
func (r *Reader) ListOf(what string, data []byte, most int) []*yaml.Node {
	if !r.IsText(data, most) {
		return nil
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		r.FailAt(1, "", "not YAML: "+err.Error())
		return nil
	}
	if len(doc.Content) == 0 {
		return nil
	}
	root := doc.Content[0]
	if root.Kind != yaml.SequenceNode {
		r.Fail(root, "", "must be a list of %s", what)
		return nil
	}
	return root.Content
}

// Mapping calls read for each key that is text and new in the mapping. Read
// reports whether it knows the key.
func (r *Reader) Mapping(n *yaml.Node, field string, read func(key string, k, v *yaml.Node) bool) {
	if !r.expect(n, yaml.MappingNode, field) {
		return
	}
	seen := make(map[string]bool, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		key, ok := r.Text(k, field)
		switch {
		case !ok:
		case seen[key]:
			r.Fail(k, field, "the key %q stands twice", key)
		case !read(key, k, v):
			r.Fail(k, field, "unknown key %q", key)
		case r.Lines != nil:
			r.Lines[strings.TrimPrefix(field+" "+key, " ")] = k.Line
		}
		seen[key] = true
	}
}

// List reads a list of texts, none of them twice. An empty list is a fault: what is
// not known is left out.
func (r *Reader) List(n *yaml.Node, field string) []string {
	if !r.expect(n, yaml.SequenceNode, field) {
		return nil
	}
	if len(n.Content) == 0 {
		r.Fail(n, field, "the list is empty; leave the key out")
	}
	var out []string
	seen := make(map[string]bool, len(n.Content))
	for _, item := range n.Content {
		text, ok := r.Text(item, field)
		switch {
		case !ok:
		case seen[text]:
			r.Fail(item, field, "%q is listed twice", text)
		default:
			seen[text] = true
			out = append(out, text)
		}
	}
	return out
}

// Text reads a scalar that is text: one line, without blanks at its ends.
func (r *Reader) Text(n *yaml.Node, field string) (text string, ok bool) {
	if !r.expect(n, yaml.ScalarNode, field) {
		return "", false
	}
	switch tag := n.ShortTag(); {
	case tag == "!!null" || n.Value == "":
		r.Fail(n, field, "the value is empty; leave the key out")
	case tag != "!!str":
		r.Fail(n, field, "%s is not text; put it in quotes if it is meant as a word", Shorten(n.Value))
	default:
		fault := TextFault(n.Value)
		if fault == "" {
			return n.Value, true
		}
		r.Fail(n, field, "%s", fault)
	}
	return "", false
}

// TextFault says why a text cannot stand in a catalogue; it is empty where it can. Text is
// one line, without blanks at its ends.
func TextFault(text string) string {
	switch {
	case len(text) > MaxText:
		return fmt.Sprintf("the text is longer than %d bytes", MaxText)
	case strings.TrimSpace(text) != text:
		return "the text begins or ends with a blank"
	case strings.ContainsFunc(text, IsUnseen):
		return "the text has a line break or an unprintable character in it"
	}
	return ""
}

// IsUnseen reports control characters, line and paragraph separators and the byte
// order mark. Joiners stay: some scripts need them.
func IsUnseen(c rune) bool {
	if c <= unicode.MaxASCII {
		return c < ' ' || c == 0x7f
	}
	return unicode.IsControl(c) || unicode.In(c, unicode.Zl, unicode.Zp) || c == '\ufeff'
}

// boolean reads true or false.
func (r *Reader) boolean(n *yaml.Node, field string) (value, ok bool) {
	if !r.expect(n, yaml.ScalarNode, field) {
		return false, false
	}
	if n.Style != 0 || n.Value != "true" && n.Value != "false" {
		r.Fail(n, field, "%s is not true or false", Shorten(n.Value))
		return false, false
	}
	return n.Value == "true", true
}

// Shorten quotes the start of a text for an error.
func Shorten(s string) string {
	const most = 60
	runes := []rune(s)
	if len(runes) > most {
		return fmt.Sprintf("%q…", string(runes[:most]))
	}
	return fmt.Sprintf("%q", s)
}
