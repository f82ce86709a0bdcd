package catalogue

import (
	"cmp"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v3"
)

// Nearly all catalogue text is in a small part of YAML: a list of mappings, or one
// mapping, of single lines at fixed indents. readPlain reads that part, about seven times as
// fast as the YAML reader, because offline commands read the whole catalogue each
// time they start. Whatever it is not sure of it leaves to the YAML reader: where it
// answers, its nodes are those the YAML reader makes, which a fuzz target holds it to.

// readPlain gives the root node of a text in the plain part of YAML. It returns the
// line that is not in it, from 1, when there is one, and 0 otherwise.
func readPlain(text string) (root *yaml.Node, odd int) {
	p := &plainReader{rest: text}
	p.next()
	if strings.HasPrefix(p.line, "- ") {
		root = p.sequence()
	} else {
		root = p.mapping(0)
	}
	if p.odd == 0 && p.line != "" {
		p.fail()
	}
	if p.odd > 0 {
		return nil, p.odd
	}
	return root, 0
}

// plainReader stands at one line of the text.
type plainReader struct {
	rest   string // behind the line
	line   string // without its indent and the blanks at its end; empty at the end of the text
	indent int
	number int
	odd    int // the first line that is not plain, or 0
	slab   []yaml.Node
}

// fail notes that the line is not plain.
func (p *plainReader) fail() {
	if p.odd == 0 {
		p.odd = max(p.number, 1)
	}
}

// next goes to the next line that has content.
func (p *plainReader) next() {
	for p.rest != "" {
		line, rest, _ := strings.Cut(p.rest, "\n")
		p.rest, p.number = rest, p.number+1
		content := strings.TrimLeft(line, " ")
		if content == "" || content[0] == '#' && isShown(content) {
			continue
		}
		p.indent, p.line = len(line)-len(content), strings.TrimRight(content, " ")
		if !isShown(content) {
			p.fail()
		}
		return
	}
	p.line, p.indent = "", 0
}

// isShown reports whether all characters are ones that print, so that no line break
// of any script, tab or mark of byte order hides among them.
func isShown(text string) bool {
	for _, c := range text {
		if c < ' ' || c == 0x7f || c >= 0x80 && (!unicode.IsPrint(c) || c == unicode.ReplacementChar) {
			return false
		}
	}
	return true
}

func (p *plainReader) node(kind yaml.Kind, tag string) *yaml.Node {
	if len(p.slab) == 0 {
		p.slab = make([]yaml.Node, 128)
	}
	n := &p.slab[0]
	p.slab = p.slab[1:]
	n.Kind, n.Tag, n.Line = kind, tag, p.number
	return n
}

func (p *plainReader) scalar(tag, value string, style yaml.Style) *yaml.Node {
	n := p.node(yaml.ScalarNode, tag)
	n.Value, n.Style = value, style
	return n
}

// sequence reads the items "- key: value" at the margin, the further keys of an item
// two blanks in.
func (p *plainReader) sequence() *yaml.Node {
	n := p.node(yaml.SequenceNode, "!!seq")
	for p.odd == 0 && p.indent == 0 && strings.HasPrefix(p.line, "- ") {
		p.line, p.indent = p.line[2:], 2
		n.Content = append(n.Content, p.mapping(2))
	}
	return n
}

// mapping reads the keys at an indent, at least one.
func (p *plainReader) mapping(indent int) *yaml.Node {
	n := p.node(yaml.MappingNode, "!!map")
	n.Content = make([]*yaml.Node, 0, 64)
	for p.odd == 0 && p.line != "" && p.indent == indent {
		key, value, ok := cutKey(p.line)
		if !ok {
			break
		}
		n.Content = append(n.Content, p.scalar("!!str", key, 0), p.value(value, indent))
	}
	if len(n.Content) == 0 || p.indent > indent {
		p.fail()
	}
	return n
}

// cutKey splits a line behind the colon of its key.
func cutKey(line string) (key, value string, ok bool) {
	key, value, ok = strings.Cut(line, ":")
	ok = ok && (value == "" || value[0] == ' ') && len(key) <= 100 && !strings.HasSuffix(key, " ") && isPlainWords(key, true)
	return key, strings.TrimLeft(value, " "), ok
}

// value reads what stands behind a key: on its line, or as a mapping further in.
func (p *plainReader) value(text string, indent int) *yaml.Node {
	if text == "" || text[0] == '#' {
		key := p.number
		if p.next(); p.indent > indent {
			return p.mapping(p.indent)
		}
		p.odd = cmp.Or(p.odd, key)
		return nil
	}
	var n *yaml.Node
	if text[0] == '[' {
		n, text = p.list(text[1:])
	} else {
		n, text = p.single(text, false)
	}
	if text = strings.TrimLeft(text, " "); n == nil || text != "" && text[0] != '#' {
		p.fail()
	}
	p.next()
	return n
}

// list reads the items behind a bracket, and returns what follows the closing one
// with the blank that must part it from a comment.
func (p *plainReader) list(text string) (n *yaml.Node, rest string) {
	n = p.node(yaml.SequenceNode, "!!seq")
	n.Style = yaml.FlowStyle
	for {
		item, rest := p.single(strings.TrimLeft(text, " "), true)
		if rest = strings.TrimLeft(rest, " "); item == nil || rest == "" {
			return nil, ""
		}
		n.Content = append(n.Content, item)
		text = rest[1:]
		switch rest[0] {
		case ',':
		case ']':
			if text != "" && text[0] != ' ' {
				return nil, ""
			}
			return n, text
		default:
			return nil, ""
		}
	}
}

// single reads one scalar and returns what follows it; n is nil when it is not a
// plain one.
func (p *plainReader) single(text string, inList bool) (n *yaml.Node, rest string) {
	if text == "" {
		return nil, ""
	}
	if quote := text[0]; quote == '"' || quote == '\'' {
		return p.quoted(text[1:], quote)
	}
	end := plainEnd(text, inList)
	word := strings.TrimRight(text[:end], " ")
	switch {
	case word == "true" || word == "false":
		return p.scalar("!!bool", word, 0), text[end:]
	case isPlainWords(word, inList) || isValueLine(word):
		return p.scalar("!!str", word, 0), text[end:]
	}
	return nil, ""
}

// quoted reads a text in quotes, in which nothing has an escape but, in double ones,
// quotes.
func (p *plainReader) quoted(text string, quote byte) (n *yaml.Node, rest string) {
	end, escaped := quoteEnd(text, quote)
	if end < 0 {
		return nil, ""
	}
	text, rest = text[:end], text[end+1:]
	if rest != "" && strings.IndexByte(" ,]", rest[0]) < 0 {
		return nil, "" // a doubled quote, or a key
	}
	if escaped {
		text = strings.ReplaceAll(text, `\"`, `"`)
	}
	style := yaml.Style(yaml.DoubleQuotedStyle)
	if quote == '\'' {
		style = yaml.SingleQuotedStyle
	}
	return p.scalar("!!str", text, style), rest
}
