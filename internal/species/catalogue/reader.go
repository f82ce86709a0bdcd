package catalogue

import (
	"fmt"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v3"
)

// MaxText is the longest text in bytes: a note is a sentence or two.
const MaxText = 2000

// reader walks the nodes of one file and collects its faults. Each reading method
// records what is wrong and then reports ok as false.
type reader struct {
	file    string
	species string // the block at hand, for the faults
	column  string // of a sheet; it stands in the faults in place of the field
	errs    *Errors
	sheet   *Sheet         // being read, for a sheet
	lines   map[string]int // where each field of the block stands; nil when nobody asks
}

func (r *reader) failAt(line int, field, detail string) {
	if r.column != "" {
		field = r.column
	}
	r.errs.add(LineError{File: r.file, Line: line, Species: r.species, Field: field, Detail: detail})
}

func (r *reader) fail(n *yaml.Node, field, format string, args ...any) {
	r.failAt(n.Line, field, fmt.Sprintf(format, args...))
}

// kindWords names the kinds of nodes for people.
var kindWords = map[yaml.Kind]string{
	yaml.MappingNode: "a mapping of keys", yaml.SequenceNode: "a list", yaml.ScalarNode: "a single value",
}

// expect checks the kind of a node, and that it uses none of YAML's machinery that
// makes a text mean something else than it shows.
func (r *reader) expect(n *yaml.Node, kind yaml.Kind, field string) bool {
	switch {
	case n.Kind == yaml.AliasNode:
		r.fail(n, field, "aliases (*) are not allowed")
	case n.Anchor != "":
		r.fail(n, field, "anchors (&) are not allowed")
	case n.Style&yaml.TaggedStyle != 0:
		r.fail(n, field, "tags (!) are not allowed")
	case n.Kind != kind:
		r.fail(n, field, "must be %s", kindWords[kind])
	default:
		return true
	}
	return false
}

// mapping calls read for each key that is text and new in the mapping. Read
// reports whether it knows the key.
func (r *reader) mapping(n *yaml.Node, field string, read func(key string, k, v *yaml.Node) bool) {
	if !r.expect(n, yaml.MappingNode, field) {
		return
	}
	seen := make(map[string]bool, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		key, ok := r.text(k, field)
		switch {
		case !ok:
		case seen[key]:
			r.fail(k, field, "the key %q stands twice", key)
		case !read(key, k, v):
			r.fail(k, field, "unknown key %q", key)
		case r.lines != nil:
			r.lines[strings.TrimPrefix(field+" "+key, " ")] = k.Line
		}
		seen[key] = true
	}
}

// list reads a list of texts, none of them twice. An empty list is a fault: what is
// not known is left out.
func (r *reader) list(n *yaml.Node, field string) []string {
	if !r.expect(n, yaml.SequenceNode, field) {
		return nil
	}
	if len(n.Content) == 0 {
		r.fail(n, field, "the list is empty; leave the key out")
	}
	var out []string
	seen := make(map[string]bool, len(n.Content))
	for _, item := range n.Content {
		text, ok := r.text(item, field)
		switch {
		case !ok:
		case seen[text]:
			r.fail(item, field, "%q is listed twice", text)
		default:
			seen[text] = true
			out = append(out, text)
		}
	}
	return out
}

// text reads a scalar that is text: one line, without blanks at its ends.
func (r *reader) text(n *yaml.Node, field string) (text string, ok bool) {
	if !r.expect(n, yaml.ScalarNode, field) {
		return "", false
	}
	switch tag := n.ShortTag(); {
	case tag == "!!null" || n.Value == "":
		r.fail(n, field, "the value is empty; leave the key out")
	case tag != "!!str":
		r.fail(n, field, "%s is not text; put it in quotes if it is meant as a word", shorten(n.Value))
	default:
		fault := TextFault(n.Value)
		if fault == "" {
			return n.Value, true
		}
		r.fail(n, field, "%s", fault)
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
	case strings.ContainsFunc(text, isUnseen):
		return "the text has a line break or an unprintable character in it"
	}
	return ""
}

// isUnseen reports control characters, line and paragraph separators and the byte
// order mark. Joiners stay: some scripts need them.
func isUnseen(c rune) bool {
	if c <= unicode.MaxASCII {
		return c < ' ' || c == 0x7f
	}
	return unicode.IsControl(c) || unicode.In(c, unicode.Zl, unicode.Zp) || c == '\ufeff'
}

// boolean reads true or false.
func (r *reader) boolean(n *yaml.Node, field string) (value, ok bool) {
	if !r.expect(n, yaml.ScalarNode, field) {
		return false, false
	}
	if n.Style != 0 || n.Value != "true" && n.Value != "false" {
		r.fail(n, field, "%s is not true or false", shorten(n.Value))
		return false, false
	}
	return n.Value == "true", true
}

// shorten quotes the start of a text for an error.
func shorten(s string) string {
	const most = 60
	runes := []rune(s)
	if len(runes) > most {
		return fmt.Sprintf("%q…", string(runes[:most]))
	}
	return fmt.Sprintf("%q", s)
}
