package catalogue

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"

	"commensal/internal/species"
)

// ErrNotText means that a catalogue holds something that the text format cannot:
// a number below zero, an unknown word, an id that is not made from the name.
var ErrNotText = errors.New("catalogue: the text format cannot hold this")

// Format writes entries in the canonical text. The text is read back before it is
// written: reading it gives equal entries (with the names gathered by language), or
// nothing is written and an error that wraps [ErrNotText] says which entry is at
// fault. Comments of a file the entries came from are not kept.
func Format(w io.Writer, list []*species.Species) error {
	var b bytes.Buffer
	for i, s := range list {
		start := b.Len()
		if i > 0 {
			b.WriteByte('\n')
		}
		writeBlock(&b, outline(s))
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
		return fmt.Errorf("%w: %s: %w", ErrNotText, s.ID, err)
	}
	if len(got) != 1 || !reflect.DeepEqual(got[0], canonical(s)) {
		return fmt.Errorf("%w: %s: it would not be the same entry when read", ErrNotText, s.ID)
	}
	return nil
}

// canonical is a copy of the entry as reading makes it: lists that are empty are
// nil, names stand by language, zero has no sign and what is absent has no value.
func canonical(s *species.Species) *species.Species {
	c := *s
	c.Names = nil
	for _, language := range outlineNames(s.Names) {
		for _, text := range language.value.([]string) {
			c.Names = append(c.Names, species.Name{Language: language.key, Text: text})
		}
	}
	c.Synonyms, c.Colours, c.Hybridises = orNil(s.Synonyms), orNil(s.Colours), orNil(s.Hybridises)
	c.Needs, c.Cautions, c.Reviewed = orNil(s.Needs), orNil(s.Cautions), orNil(s.Reviewed)
	for _, set := range []*species.TraitSet{&c.Traits, &c.MaleTraits, &c.FemaleTraits} {
		for i := range set {
			if !set[i].Known() {
				set[i] = species.Value{}
			}
		}
	}
	for i := range c.Water {
		if !c.Water[i].Known() {
			c.Water[i] = species.WaterRange{}
		}
	}
	for _, z := range []*species.ZoneUse{&c.Zones, &c.FeedingZones} {
		if !z.Known() {
			*z = species.ZoneUse{}
		}
	}
	return &c
}

func orNil[T any](list []T) []T {
	if len(list) == 0 {
		return nil
	}
	return list
}

// writeBlock writes one entry as an item of a list.
func writeBlock(b *bytes.Buffer, o object) {
	lead := "- "
	for _, m := range o {
		b.WriteString(lead)
		writeMember(b, "  ", m)
		lead = "  "
	}
}

func writeMember(b *bytes.Buffer, indent string, m member) {
	writeText(b, m.key, true)
	b.WriteByte(':')
	switch v := m.value.(type) {
	case object:
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
	case interface{ line() string }:
		b.WriteByte(' ')
		b.WriteString(v.line())
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
