package catalogue

import (
	"bytes"
	"fmt"
	"io"
	"reflect"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// FormatWords writes trade words in the text of words.yaml. Like [Format] it reads
// the text back first, and fails with [entry.ErrNotText].
func FormatWords(w io.Writer, list []species.GroupWord) error {
	var o entry.Object
	for _, g := range list {
		o = append(o, entry.Member{Key: g.Word, Value: entry.Strings(g.Candidates)})
	}
	return writeMapping(w, o, groupWords, list)
}

// FormatSources writes sources in the text of sources.yaml. Like [Format] it reads
// the text back first, and fails with [entry.ErrNotText].
func FormatSources(w io.Writer, list []species.Source) error {
	var o entry.Object
	for _, s := range list {
		o = append(o, entry.Member{Key: s.Key, Value: s.Citation})
	}
	return writeMapping(w, o, sources, list)
}

// writeMapping writes o, provided that it reads as want.
func writeMapping[T any](w io.Writer, o entry.Object, read func(*entry.Reader, []byte) []T, want []T) error {
	var b bytes.Buffer
	for _, m := range o {
		writeMember(&b, "", m)
	}
	if len(o) == 0 {
		b.WriteString("{}\n")
	}
	var errs entry.Errors
	got := read(&entry.Reader{File: "text", Errs: &errs}, b.Bytes())
	if err := errs.OrNil(); err != nil {
		return fmt.Errorf("%w: %w", entry.ErrNotText, err)
	}
	if !reflect.DeepEqual(got, entry.OrNil(want)) {
		return fmt.Errorf("%w: it would not be the same when read", entry.ErrNotText)
	}
	_, err := b.WriteTo(w)
	return err
}
