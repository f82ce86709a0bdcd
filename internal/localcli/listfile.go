package localcli

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"
)

// maxListFile is the largest list in bytes that is read: what the API takes as a body.
const maxListFile = 1 << 20

// List is a list as people keep it, made into the body of a request.
type List struct {
	name  string
	body  []byte         // JSON
	lines map[string]int // the line in the file, by JSON Pointer into the body
}

// FileError is a mistake in a list file, at a line where that is known.
type FileError struct {
	name string
	line int // 0 where the whole file is meant
	what string
}

func (e *FileError) Error() string {
	if e.line == 0 {
		return e.name + ": " + e.what
	}
	return fmt.Sprintf("%s:%d: %s", e.name, e.line, e.what)
}

// ReadList reads a list from a file, or from in where the name is a hyphen. The ending of the name
// tells the format, else the content does. Whatever is wrong is wrong with the file: an error is
// for whoever wrote it, a [FileError] where it has a place.
func ReadList(name string, in io.Reader) (*List, error) {
	text, err := readLimited(name, in)
	if err != nil {
		return nil, err
	}
	if name == "-" {
		name = "standard input"
	}
	f := &List{name: filepath.Base(name), lines: map[string]int{}}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if err := f.checkText(text); err != nil {
		return nil, err
	}
	if isBasket(name, text) {
		err = f.readBasket(text)
	} else {
		err = f.readFields(text)
	}
	if err != nil {
		return nil, err
	}
	return f, nil
}

func readLimited(name string, in io.Reader) ([]byte, error) {
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return nil, fmt.Errorf("the list cannot be read: %w", err)
		}
		defer file.Close()
		in = file
	}
	text, err := io.ReadAll(io.LimitReader(in, maxListFile+1))
	if err != nil {
		return nil, fmt.Errorf("the list cannot be read: %w", err)
	}
	if len(text) > maxListFile {
		return nil, fmt.Errorf("%s is over 1 MiB: no list is that long", name)
	}
	return text, nil
}

// Body is the list as the body of a request, in JSON.
func (f *List) Body() []byte { return f.body }

// checkText wants UTF-8 without NUL and something in it.
func (f *List) checkText(text []byte) error {
	number := 1
	for line := range bytes.Lines(text) {
		switch {
		case bytes.IndexByte(line, 0) >= 0:
			return &FileError{f.name, number, "a NUL character stands here: is this a text file?"}
		case !utf8.Valid(line):
			return &FileError{f.name, number, "this is not UTF-8: save the file as UTF-8"}
		}
		number++
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return &FileError{f.name, 0, "the file is empty"}
	}
	return nil
}

// isBasket reports whether a file is a basket in CSV rather than YAML or JSON: by the
// ending of its name, else by a first line without a colon or a brace.
func isBasket(name string, text []byte) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".csv":
		return true
	case ".yaml", ".yml", ".json":
		return false
	}
	for line := range bytes.Lines(text) {
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		return !bytes.ContainsAny(line, ":{}[]") && !bytes.HasPrefix(line, []byte("---"))
	}
	return false
}

// line is the line in the file that a JSON Pointer leads to, or the nearest one that
// holds it; 0 for the file as a whole.
func (f *List) line(pointer string) int {
	for pointer != "" {
		if n, ok := f.lines[pointer]; ok {
			return n
		}
		pointer = pointer[:strings.LastIndexByte(pointer, '/')]
	}
	return 0
}
