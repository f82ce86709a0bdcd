package compare

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// Difference is what changes from one catalogue to another.
type Difference struct {
	Added, Removed []*species.Species
	Changed        []EntryChange
	Lists          []FieldChange // of words and sources
	Moved          bool          // entries that stay stand in another order
}

// EntryChange is what changes in one entry.
type EntryChange struct {
	ID     species.ID
	Fields []FieldChange
}

// FieldChange is a value as the text writes it; what is absent is empty.
type FieldChange struct{ Field, Old, New string }

// Catalogues compares two catalogues, entries by their id.
func Catalogues(before, after species.Catalogue) Difference {
	var d Difference
	old, kept := byID(before.Species), byID(after.Species)
	for _, s := range after.Species {
		switch was := old[s.ID]; {
		case was == nil:
			d.Added = append(d.Added, s)
		case was != s:
			if fields := compareFields(flatten("", entry.Outline(was)), flatten("", entry.Outline(s))); len(fields) > 0 {
				d.Changed = append(d.Changed, EntryChange{s.ID, fields})
			}
		}
	}
	for _, s := range before.Species {
		if kept[s.ID] == nil {
			d.Removed = append(d.Removed, s)
		}
	}
	d.Lists = compareFields(listFields(before), listFields(after))
	d.Moved = !slices.Equal(shared(before.Species, kept), shared(after.Species, old))
	return d
}

// None reports whether nothing changes.
func (d Difference) None() bool {
	return len(d.Added)+len(d.Removed)+len(d.Changed)+len(d.Lists) == 0 && !d.Moved
}

// Touches reports whether an entry is new or changed.
func (d Difference) Touches(id species.ID) bool {
	return slices.ContainsFunc(d.Added, func(s *species.Species) bool { return s.ID == id }) ||
		slices.ContainsFunc(d.Changed, func(c EntryChange) bool { return c.ID == id })
}

func byID(list []*species.Species) map[species.ID]*species.Species {
	out := make(map[species.ID]*species.Species, len(list))
	for _, s := range list {
		out[s.ID] = s
	}
	return out
}

// shared are the ids that the other catalogue has too, in order.
func shared(list []*species.Species, other map[species.ID]*species.Species) []species.ID {
	var out []species.ID
	for _, s := range list {
		if other[s.ID] != nil {
			out = append(out, s.ID)
		}
	}
	return out
}

// labels are the words for the mappings of an entry in the names of fields.
var labels = map[string]string{"traits": "trait "}

// flatten lists the values of an outline with the names that problems call them by.
func flatten(prefix string, o entry.Object) []FieldChange {
	var out []FieldChange
	for _, m := range o {
		switch v := m.Value.(type) {
		case entry.Object:
			label, ok := labels[m.Key]
			if !ok {
				label = m.Key + " "
			}
			out = append(out, flatten(label, v)...)
		case interface{ Line() string }:
			out = append(out, FieldChange{Field: prefix + m.Key, New: v.Line()})
		case []string:
			out = append(out, FieldChange{Field: prefix + m.Key, New: strings.Join(v, ", ")})
		default:
			out = append(out, FieldChange{Field: prefix + m.Key, New: fmt.Sprint(v)})
		}
	}
	return out
}

func listFields(c species.Catalogue) []FieldChange {
	var out []FieldChange
	for _, w := range c.Words {
		out = append(out, FieldChange{Field: "words " + w.Word, New: strings.Join(entry.Strings(w.Candidates), ", ")})
	}
	for _, s := range c.Sources {
		out = append(out, FieldChange{Field: "sources " + s.Key, New: s.Citation})
	}
	return out
}

// compareFields lists what differs, in the order of the new values; what is gone
// comes last.
func compareFields(before, after []FieldChange) []FieldChange {
	old := make(map[string]string, len(before))
	for _, f := range before {
		old[f.Field] = f.New
	}
	var out []FieldChange
	for _, f := range after {
		was, ok := old[f.Field]
		if !ok || was != f.New {
			out = append(out, FieldChange{f.Field, was, f.New})
		}
		delete(old, f.Field)
	}
	for _, f := range before {
		if was, gone := old[f.Field]; gone {
			out = append(out, FieldChange{f.Field, was, ""})
		}
	}
	return out
}

// WriteText writes the difference for people: one line for each entry that comes (+)
// or goes (-), and for each that changes (~) what it says and will say.
func (d Difference) WriteText(w io.Writer) error {
	var b bytes.Buffer
	for _, s := range d.Removed {
		fmt.Fprintf(&b, "- %s\n", entryLine(s))
	}
	for _, c := range d.Changed {
		fmt.Fprintf(&b, "~ %s\n", c.ID)
		writeFields(&b, c.Fields)
	}
	for _, s := range d.Added {
		fmt.Fprintf(&b, "+ %s\n", entryLine(s))
	}
	if len(d.Lists) > 0 {
		fmt.Fprintln(&b, "~ words and sources")
		writeFields(&b, d.Lists)
	}
	if d.Moved {
		fmt.Fprintln(&b, "~ the order of the entries")
	}
	fmt.Fprintf(&b, "%d added, %d changed, %d removed\n", len(d.Added), len(d.Changed), len(d.Removed))
	_, err := b.WriteTo(w)
	return err
}

func entryLine(s *species.Species) string {
	line := fmt.Sprintf("%s: %s", s.ID, s.ScientificName)
	if s.Form != "" {
		line += " (" + s.Form + ")"
	}
	if name := s.VernacularName("en"); name != s.ScientificName {
		line += ", " + name
	}
	return line
}

func writeFields(b *bytes.Buffer, fields []FieldChange) {
	for _, f := range fields {
		fmt.Fprintf(b, "    %s: %s → %s\n", f.Field, orNone(f.Old), orNone(f.New))
	}
}

func orNone(value string) string {
	if value == "" {
		return "none"
	}
	return value
}
