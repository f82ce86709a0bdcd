package catalogue

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// MaxFile is the size in bytes of the largest file that is read: some ten thousand
// entries in one. The bound keeps a slip from eating memory.
const MaxFile = 32 << 20

const byteOrderMark = "\xef\xbb\xbf"

// document reads the one YAML document of a file. A byte order mark at the start
// is dropped; line ends may be LF or CRLF. It returns nil when the file holds
// nothing but comments, or when it recorded a fault.
func (r *reader) document(data []byte) *yaml.Node {
	if !r.isText(data, MaxFile) {
		return nil
	}
	if root, odd := readPlain(string(data)); odd == 0 {
		return root
	}
	return r.anyDocument(data)
}

// anyDocument is document for all of YAML.
func (r *reader) anyDocument(data []byte) *yaml.Node {
	dec := yaml.NewDecoder(bytes.NewReader(bytes.TrimPrefix(data, []byte(byteOrderMark))))
	var doc, next yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if !errors.Is(err, io.EOF) {
			r.syntax(err)
		}
		return nil
	}
	switch err := dec.Decode(&next); {
	case err == nil:
		r.failAt(next.Line, "", "a second document begins here; a file holds one")
		return nil
	case !errors.Is(err, io.EOF):
		r.syntax(err)
		return nil
	}
	return doc.Content[0]
}

// isText checks that a file is UTF-8 of at most a number of bytes.
func (r *reader) isText(data []byte, most int) bool {
	switch {
	case len(data) > most:
		r.failAt(1, "", fmt.Sprintf("the file is larger than %d MiB", most>>20))
	case !utf8.Valid(data):
		r.failAt(1+bytes.Count(data[:validPrefix(data)], []byte{'\n'}), "", "the text is not UTF-8")
	default:
		return true
	}
	return false
}

// validPrefix is the length of the longest prefix of data that is UTF-8.
func validPrefix(data []byte) int {
	n := 0
	for n < len(data) {
		c, size := utf8.DecodeRune(data[n:])
		if c == utf8.RuneError && size <= 1 {
			break
		}
		n += size
	}
	return n
}

// syntax records what the YAML reader said. It has no other way to tell the line
// than in its message ("yaml: line 12: …"), and leaves it out for the first line.
func (r *reader) syntax(err error) {
	detail := strings.TrimPrefix(err.Error(), "yaml: ")
	line := 1
	if rest, ok := strings.CutPrefix(detail, "line "); ok {
		number, text, found := strings.Cut(rest, ": ")
		if n, err := strconv.Atoi(number); found && err == nil {
			line, detail = n, text
		}
	}
	r.failAt(line, "", "not YAML: "+detail)
}
