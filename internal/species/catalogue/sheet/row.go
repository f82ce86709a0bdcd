package sheet

import (
	"fmt"
	"slices"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
	"go.yaml.in/yaml/v3"
)

// rowReader is one row under its header.
type rowReader struct {
	*reader
	line    int
	columns []column
	cells   []string
}

// cell is the content of the column with a header, empty where there is none.
func (w *rowReader) cell(header string) string {
	for i, c := range w.columns {
		if c.header == header {
			return strings.TrimSpace(w.cells[i])
		}
	}
	return ""
}

// id is the id that the name and the form make.
func (w *rowReader) id() species.ID { return species.MakeID(w.cell(columnName), w.cell(formColumn)) }

func (w *rowReader) fault(format string, args ...any) {
	w.FailAt(w.line, "", fmt.Sprintf(format, args...))
}

// entry is the entry of the row, on top of what is there of it.
func (w *rowReader) entry(before *species.Species) *species.Species {
	s := new(species.Species)
	if before != nil {
		*s = *before
	}
	w.Species = w.cell(columnName)
	defer func() { w.Species, w.Column = "", "" }()
	w.forget(s)
	for i := range w.columns {
		w.read(i, s)
	}
	w.Column = columnName
	s.ID = species.MakeID(s.ScientificName, s.Form)
	switch {
	case w.cell(columnName) == "":
		w.fault("the row has no scientific name")
	case !entry.IsID(string(s.ID)):
		w.fault("%s makes no id of letters a-z and digits", entry.Shorten(s.ScientificName))
	default:
		w.derived(s)
	}
	w.names(s)
	w.values(s)
	if w.cell("checked") == "" {
		s.Checked = entry.MarksThatHold(s)
	}
	return s
}

// forget empties what the sheet has columns for.
func (w *rowReader) forget(s *species.Species) {
	for _, c := range w.columns {
		if blank := blanks[c.key]; blank != nil {
			blank(s)
		}
	}
}

// blanks empty what stands under a key of words. The name and the form are what the
// entry was found by.
var blanks = map[string]func(*species.Species){
	"form_of":        func(s *species.Species) { s.FormOf = "" },
	"family":         func(s *species.Species) { s.Family = "" },
	"synonyms":       func(s *species.Species) { s.Synonyms = nil },
	"body_form":      func(s *species.Species) { s.BodyForm = "" },
	"guild":          func(s *species.Species) { s.Guild = "" },
	"feeds_by":       func(s *species.Species) { s.FeedsBy = "" },
	"active":         func(s *species.Species) { s.Active = "" },
	"availability":   func(s *species.Species) { s.Available = "" },
	"social":         func(s *species.Species) { s.Social = "" },
	"shape":          func(s *species.Species) { s.Shape = "" },
	"colours":        func(s *species.Species) { s.Colours = nil },
	"hybridises":     func(s *species.Species) { s.Hybridises = nil },
	"sexed_in_trade": func(s *species.Species) { s.SexedTrade = false },
	"sold_as":        func(s *species.Species) { s.SoldAs = species.Unsexed },
	"needs":          func(s *species.Species) { s.Needs = nil },
	"cautions":       func(s *species.Species) { s.Cautions = nil },
	"legal_note":     func(s *species.Species) { s.LegalNote = "" },
	"note":           func(s *species.Species) { s.Note = "" },
	"basis":          func(s *species.Species) { s.Basis = "" },
	"reviewed":       func(s *species.Species) { s.Reviewed = nil },
	"checked":        func(s *species.Species) { s.Checked = nil },
}

// read reads a cell of words into the entry.
func (w *rowReader) read(i int, s *species.Species) {
	c, cell := w.columns[i], strings.TrimSpace(w.cells[i])
	w.Column = c.header
	switch {
	case len(cell) > MaxCell:
		w.fault("the cell is longer than %d bytes", MaxCell)
	case c.key == "" || cell == "":
	case c.key == "reviewed":
		w.reviews(cell, s)
	case listKeys[c.key]:
		w.Key(c.key, w.list(cell), s)
	default:
		w.Key(c.key, w.scalar(cell), s)
	}
}

// scalar is a cell as the reader of the text takes it.
func (w *rowReader) scalar(cell string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: cell, Line: w.line}
}

func (w *rowReader) list(cell string) *yaml.Node {
	n := &yaml.Node{Kind: yaml.SequenceNode, Line: w.line}
	for _, item := range splitCell(cell) {
		n.Content = append(n.Content, w.scalar(item))
	}
	return n
}

// reviews reads items of the shape "field: reason".
func (w *rowReader) reviews(cell string, s *species.Species) {
	n := &yaml.Node{Kind: yaml.MappingNode, Line: w.line}
	for _, item := range splitCell(cell) {
		field, reason, found := strings.Cut(item, ":")
		if !found {
			w.fault("%s is not of the shape field: reason", entry.Shorten(item))
			return
		}
		n.Content = append(n.Content, w.scalar(strings.TrimSpace(field)), w.scalar(strings.TrimSpace(reason)))
	}
	w.Key("reviewed", n, s)
}

// derived checks what follows from the name.
func (w *rowReader) derived(s *species.Species) {
	for i, c := range w.columns {
		cell := strings.TrimSpace(w.cells[i])
		if c.check == nil || cell == "" {
			continue
		}
		if want := c.check(s); cell != want {
			w.Column = c.header
			w.fault("%s does not go with the name: %q is expected", entry.Shorten(cell), want)
		}
	}
}

// names reads the columns of names. The languages that have none keep theirs.
func (w *rowReader) names(s *species.Species) {
	var named []string
	var names []species.Name
	for i, c := range w.columns {
		if c.lang == "" {
			continue
		}
		named = append(named, c.lang)
		if cell := strings.TrimSpace(w.cells[i]); cell != "" {
			w.Column = c.header
			for _, text := range w.List(w.list(cell), "names") {
				names = append(names, species.Name{Language: c.lang, Text: text})
			}
		}
	}
	if named == nil {
		return
	}
	for _, n := range s.Names {
		if !slices.Contains(named, n.Language) {
			names = append(names, n)
		}
	}
	s.Names = w.ordered(names)
}

// ordered brings names into the order of languages that the row asks for.
func (w *rowReader) ordered(names []species.Name) []species.Name {
	cell := w.cell(columnOrder)
	if cell == "" {
		return names
	}
	order := splitCell(cell)
	place := func(n species.Name) int { return slices.Index(order, n.Language) }
	for _, n := range names {
		if place(n) < 0 {
			w.Column = columnOrder
			w.fault("it does not list %s, in which there are names", n.Language)
			return nil
		}
	}
	slices.SortStableFunc(names, func(a, b species.Name) int { return place(a) - place(b) })
	return names
}
