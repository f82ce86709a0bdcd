package sheet

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// Format writes entries as CSV with a header, one entry a row, as
// [Read] reads them. Like [Format] it reads the text back first, and fails with
// [entry.ErrNotText] where that would give other entries.
func Format(w io.Writer, list []*species.Species) error {
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	columns := writtenColumns(list)
	row := make([]string, len(columns))
	for i, c := range columns {
		row[i] = c.header
	}
	out.Write(row) // a bytes.Buffer takes everything
	for _, s := range list {
		words := entry.Outline(s)
		for i, c := range columns {
			row[i] = c.cell(s, words)
		}
		out.Write(row)
	}
	out.Flush()
	if err := readsBack(b.Bytes(), list); err != nil {
		return err
	}
	_, err := b.WriteTo(w)
	return err
}

func readsBack(text []byte, list []*species.Species) error {
	sheet, err := readAtMost("sheet", text, nil, len(text))
	if err != nil {
		return fmt.Errorf("%w: %w", entry.ErrNotText, err)
	}
	if len(sheet.Entries) != len(list) {
		return fmt.Errorf("%w: %d entries would be read as %d", entry.ErrNotText, len(list), len(sheet.Entries))
	}
	for i, s := range list {
		if !reflect.DeepEqual(sheet.Entries[i], entry.Canonical(s)) {
			return fmt.Errorf("%w: %s: it would not be the same entry when read", entry.ErrNotText, s.ID)
		}
	}
	return nil
}

// writtenColumn is a column as it is written; words is the outline of the entry.
type writtenColumn struct {
	header string
	cell   func(s *species.Species, words entry.Object) string
}

// writtenColumns are the columns for a list of entries: all that every catalogue has,
// and of the rest those that one of the entries fills.
func writtenColumns(list []*species.Species) []writtenColumn {
	columns := []writtenColumn{derivedColumn(columnID)}
	for _, c := range wordColumns {
		columns = append(columns, wordColumn(c.header, c.key))
		switch c.header {
		case "form_of":
			columns = append(columns, derivedColumn(columnRank))
		case "family":
			columns = append(columns, derivedColumn(columnGenus))
			columns = append(columns, nameColumns(list)...)
		}
	}
	for _, v := range values {
		if !isFilled(v, list) {
			continue
		}
		for part := range v.parts {
			columns = append(columns, writtenColumn{v.header(part), func(s *species.Species, _ entry.Object) string {
				if x, basis := v.get(s); basis != "" {
					return entry.FormatNumber(x[part])
				}
				return ""
			}})
		}
		columns = append(columns, writtenColumn{v.basisHeader(), func(s *species.Species, _ entry.Object) string {
			_, basis := v.get(s)
			return string(basis)
		}})
	}
	return columns
}

func isFilled(v *value, list []*species.Species) bool {
	return slices.ContainsFunc(list, func(s *species.Species) bool {
		_, basis := v.get(s)
		return basis != ""
	})
}

func derivedColumn(header string) writtenColumn {
	return writtenColumn{header, func(s *species.Species, _ entry.Object) string { return derivedColumns[header](s) }}
}

func wordColumn(header, key string) writtenColumn {
	return writtenColumn{header, func(_ *species.Species, words entry.Object) string {
		for _, m := range words {
			if m.Key == key {
				return cellOf(m.Value)
			}
		}
		return ""
	}}
}

// cellOf writes what an outline has under the key of a word column.
func cellOf(value any) string {
	switch v := value.(type) {
	case bool:
		return strconv.FormatBool(v)
	case []string:
		return joinCell(v)
	case entry.Object: // what was reviewed
		items := make([]string, len(v))
		for i, m := range v {
			items[i] = m.Key + ": " + m.Value.(string)
		}
		return joinCell(items)
	}
	return value.(string)
}

// nameColumns are one column for each language, English first, and one for the order
// of the languages if some entry has them in another order.
func nameColumns(list []*species.Species) []writtenColumn {
	languages := []string{"en"}
	for _, s := range list {
		for _, m := range entry.OutlineNames(s.Names) {
			if !slices.Contains(languages, m.Key) {
				languages = append(languages, m.Key)
			}
		}
	}
	columns := make([]writtenColumn, 0, len(languages)+1)
	for _, language := range languages {
		columns = append(columns, writtenColumn{languageHeader(language), func(s *species.Species, _ entry.Object) string {
			for _, m := range entry.OutlineNames(s.Names) {
				if m.Key == language {
					return joinCell(m.Value.([]string))
				}
			}
			return ""
		}})
	}
	needed := func(s *species.Species) bool { return !inColumnOrder(s, languages) }
	if slices.ContainsFunc(list, needed) {
		columns = append(columns, writtenColumn{columnOrder, func(s *species.Species, _ entry.Object) string {
			if needed(s) {
				return joinCell(languagesOf(s))
			}
			return ""
		}})
	}
	return columns
}

func languagesOf(s *species.Species) []string {
	var out []string
	for _, m := range entry.OutlineNames(s.Names) {
		out = append(out, m.Key)
	}
	return out
}

func inColumnOrder(s *species.Species, languages []string) bool {
	return slices.IsSortedFunc(languagesOf(s), func(a, b string) int {
		return slices.Index(languages, a) - slices.Index(languages, b)
	})
}
