package catalogue

import (
	"bytes"
	"fmt"
	"io"
	"reflect"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// Format writes entries in the canonical text. The text is read back before it is
// written: reading it gives equal entries (with the names gathered by language), or
// nothing is written and an error that wraps [entry.ErrNotText] says which entry is at
// fault. Comments of a file the entries came from are not kept.
func Format(w io.Writer, list []*species.Species) error {
	var b bytes.Buffer
	for i, s := range list {
		start := b.Len()
		if i > 0 {
			b.WriteByte('\n')
		}
		writeBlock(&b, entry.Outline(s))
		if err := readsBack(b.Bytes()[start:], s); err != nil {
			return err
		}
	}
	_, err := b.WriteTo(w)
	return err
}

// readsBack checks that the text of one entry means that entry.
func readsBack(text []byte, s *species.Species) error {
	got, err := ParseFile("entry", text)
	if err != nil {
		return fmt.Errorf("%w: %s: %w", entry.ErrNotText, s.ID, err)
	}
	if len(got) != 1 || !reflect.DeepEqual(got[0], entry.Canonical(s)) {
		return fmt.Errorf("%w: %s: it would not be the same entry when read", entry.ErrNotText, s.ID)
	}
	return nil
}

// writeBlock writes one entry as an item of a list.
func writeBlock(b *bytes.Buffer, o entry.Object) {
	lead := "- "
	for _, m := range o {
		b.WriteString(lead)
		writeMember(b, "  ", m)
		lead = "  "
	}
}

func writeMember(b *bytes.Buffer, indent string, m entry.Member) {
	writeText(b, m.Key, true)
	b.WriteByte(':')
	switch v := m.Value.(type) {
	case entry.Object:
		b.WriteByte('\n')
		for _, inner := range v {
			b.WriteString(indent)
			b.WriteString("  ")
			writeMember(b, indent+"  ", inner)
		}
		return
	case string:
		b.WriteByte(' ')
		writeText(b, v, false)
	case []string:
		b.WriteByte(' ')
		writeList(b, v)
	case bool:
		fmt.Fprintf(b, " %t", v)
	case interface{ Line() string }:
		b.WriteByte(' ')
		b.WriteString(v.Line())
	}
	b.WriteByte('\n')
}

func writeList(b *bytes.Buffer, list []string) {
	b.WriteByte('[')
	for i, text := range list {
		if i > 0 {
			b.WriteString(", ")
		}
		writeText(b, text, true)
	}
	b.WriteByte(']')
}
