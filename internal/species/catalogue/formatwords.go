package catalogue

import (
	"bytes"
	"fmt"
	"io"
	"reflect"

	"commensal/internal/species"
)

// FormatWords writes trade words in the text of words.yaml. Like [Format] it reads
// the text back first, and fails with [ErrNotText].
func FormatWords(w io.Writer, list []species.GroupWord) error {
	var o object
	for _, g := range list {
		o = append(o, member{g.Word, stringsOf(g.Candidates)})
	}
	return writeMapping(w, o, (*reader).groupWords, list)
}

// FormatSources writes sources in the text of sources.yaml. Like [Format] it reads
// the text back first, and fails with [ErrNotText].
func FormatSources(w io.Writer, list []species.Source) error {
	var o object
	for _, s := range list {
		o = append(o, member{s.Key, s.Citation})
	}
	return writeMapping(w, o, (*reader).sources, list)
}

// writeMapping writes o, provided that it reads as want.
func writeMapping[T any](w io.Writer, o object, read func(*reader, []byte) []T, want []T) error {
	var b bytes.Buffer
	for _, m := range o {
		writeMember(&b, "", m)
	}
	if len(o) == 0 {
		b.WriteString("{}\n")
	}
	var errs Errors
	got := read(&reader{file: "text", errs: &errs}, b.Bytes())
	if err := errs.orNil(); err != nil {
		return fmt.Errorf("%w: %w", ErrNotText, err)
	}
	if !reflect.DeepEqual(got, orNil(want)) {
		return fmt.Errorf("%w: it would not be the same when read", ErrNotText)
	}
	_, err := b.WriteTo(w)
	return err
}
