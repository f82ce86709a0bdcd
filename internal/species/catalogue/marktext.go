package catalogue

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// WriteMarks gives the text of a species file with the marks of agreement of some of its entries, and
// everything else as it stood, comments too. entries hold the marks that are to be; they are found by
// their ids. It fails with [entry.ErrNotText] where the text would not mean them when read.
func WriteMarks(name string, text []byte, entries []*species.Species) ([]byte, error) {
	f := parseFile(name, text, entry.NewPlaces())
	if err := f.errs.OrNil(); err != nil {
		return nil, err
	}
	wanted := make(map[species.ID]*species.Species, len(entries))
	for _, s := range entries {
		wanted[s.ID] = s
	}
	lines := bytes.SplitAfter(text, []byte("\n"))
	for _, s := range slices.Backward(f.entries) {
		if want := wanted[s.ID]; want != nil {
			lines = markBlock(lines, s, want.Checked, f.places)
		}
	}
	out := bytes.Join(lines, nil)
	return out, marksReadBack(name, out, f.entries, wanted)
}

// markBlock puts the line of marks behind the basis of a block, in place of the one there.
func markBlock(lines [][]byte, s *species.Species, marks []species.Mark, places *entry.Places) [][]byte {
	if at := places.Of(s, "checked").Line; s.Checked != nil {
		lines = slices.Delete(lines, at-1, at)
	}
	if len(marks) == 0 {
		return lines
	}
	basis := places.Of(s, "basis").Line
	texts := make([]string, len(marks))
	for i, m := range marks {
		texts[i] = m.String()
	}
	var b bytes.Buffer
	end := strings.TrimLeft(string(lines[basis-1]), "\r\n")
	b.WriteString(end[:len(end)-len(strings.TrimLeft(end, " "))])
	writeMember(&b, "  ", entry.Member{Key: "checked", Value: texts})
	return slices.Insert(lines, basis, b.Bytes())
}

// marksReadBack checks that a text means the entries it meant, with the marks wanted.
func marksReadBack(name string, text []byte, before []*species.Species, wanted map[species.ID]*species.Species) error {
	after, err := ParseFile(name, text)
	if err != nil {
		return fmt.Errorf("%w: %w", entry.ErrNotText, err)
	}
	for i, s := range before {
		want := *s
		if w := wanted[s.ID]; w != nil {
			want.Checked = entry.OrNil(w.Checked)
		}
		if i >= len(after) || !reflect.DeepEqual(after[i], &want) {
			return fmt.Errorf("%w: %s: the marks of %s do not fit the text; write its values and lists on one line each", entry.ErrNotText, name, s.ID)
		}
	}
	return nil
}
