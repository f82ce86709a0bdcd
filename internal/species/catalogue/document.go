package catalogue

import (
	"bytes"
	"errors"
	"io"
	"strconv"
	"strings"

	"commensal/internal/species/catalogue/entry"
	"go.yaml.in/yaml/v3"
)

// MaxFile is the size in bytes of the largest file that is read: some ten thousand
// entries in one. The bound keeps a slip from eating memory.
const MaxFile = 32 << 20

// document reads the one YAML document of a file. A byte order mark at the start
// is dropped; line ends may be LF or CRLF. It returns nil when the file holds
// nothing but comments, or when it recorded a fault.
func document(r *entry.Reader, data []byte) *yaml.Node {
	if !r.IsText(data, MaxFile) {
		return nil
	}
	dec := yaml.NewDecoder(bytes.NewReader(bytes.TrimPrefix(data, []byte(entry.ByteOrderMark))))
	var doc, next yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if !errors.Is(err, io.EOF) {
			syntax(r, err)
		}
		return nil
	}
	switch err := dec.Decode(&next); {
	case err == nil:
		r.FailAt(next.Line, "", "a second document begins here; a file holds one")
		return nil
	case !errors.Is(err, io.EOF):
		syntax(r, err)
		return nil
	}
	return doc.Content[0]
}

// syntax records what the YAML reader said. It has no other way to tell the line
// than in its message ("yaml: line 12: …"), and leaves it out for the first line.
func syntax(r *entry.Reader, err error) {
	detail := strings.TrimPrefix(err.Error(), "yaml: ")
	line := 1
	if rest, ok := strings.CutPrefix(detail, "line "); ok {
		number, text, found := strings.Cut(rest, ": ")
		if n, err := strconv.Atoi(number); found && err == nil {
			line, detail = n, text
		}
	}
	r.FailAt(line, "", "not YAML: "+detail)
}
