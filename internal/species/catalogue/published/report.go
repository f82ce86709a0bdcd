package published

import (
	"fmt"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// Finding is one measurement held against the catalogue.
type Finding struct {
	Line      int           `json:"line"`
	Name      string        `json:"name"` // as the table has it
	Species   species.ID    `json:"taxonID"`
	Field     string        `json:"field"` // as reviews name it
	Outcome   Outcome       `json:"outcome"`
	Side      string        `json:"side,omitempty"` // where the catalogue lies
	By        float64       `json:"by,omitempty"`   // how far it is from agreeing
	Unit      string        `json:"unit"`
	Published string        `json:"published"` // in the unit, a length with its kind
	Catalogue string        `json:"catalogue,omitempty"`
	Basis     species.Basis `json:"basis,omitempty"`
	Detail    string        `json:"detail,omitempty"`
	// Reviewed is why a value that differs is right, where the entry says so.
	Reviewed string `json:"reviewed,omitempty"`
}

// NotFound is a row whose name leads to no entry.
type NotFound struct {
	Line int    `json:"line"`
	Name string `json:"name"`
}

// Report is a table held against a catalogue.
type Report struct {
	Source   string     `json:"source"`
	Rows     int        `json:"rows"`
	Findings []Finding  `json:"findings"`
	NotFound []NotFound `json:"not_found"`
	SetAside []string   `json:"columns_set_aside"`
}

// Compare holds a table against a catalogue. Rows are matched by the id where the table has one that the
// catalogue knows, else by the accepted name or a synonym. Two rows that lead to one entry are a fault,
// told as [entry.Errors] with the name of the file.
func Compare(file, source string, t *Table, catalogue *species.Snapshot) (*Report, error) {
	r := &Report{Source: source, Rows: len(t.Rows), Findings: []Finding{}, NotFound: []NotFound{}, SetAside: entry.Strings(t.SetAside)}
	lines := make(map[species.ID]int, len(t.Rows))
	var errs entry.Errors
	for i := range t.Rows {
		row := &t.Rows[i]
		s := find(row, catalogue)
		if s == nil {
			r.NotFound = append(r.NotFound, NotFound{row.Line, row.Name})
			continue
		}
		if first, again := lines[s.ID]; again {
			errs.Add(entry.LineError{File: file, Line: row.Line, Field: "scientificName",
				Detail: fmt.Sprintf("%s leads to %s, as line %d does", row.Name, s.ID, first)})
			continue
		}
		lines[s.ID] = row.Line
		r.Findings = append(r.Findings, findings(source, row, s)...)
	}
	if err := errs.OrNil(); err != nil {
		return nil, err
	}
	return r, nil
}

// find is the entry of a row, nil when there is none.
func find(row *Row, catalogue *species.Snapshot) *species.Species {
	if s, ok := catalogue.ByID(row.ID); ok {
		return s
	}
	m, err := catalogue.Resolve(row.Name)
	if err != nil || m.Kind == species.MatchVernacular {
		return nil
	}
	return m.Species
}

// findings are those of one row.
func findings(source string, row *Row, s *species.Species) []Finding {
	var out []Finding
	for i, m := range row.measured {
		if !m.known {
			continue
		}
		info := measureInfos[i]
		v := judge(s, measure(i), m)
		f := Finding{Line: row.Line, Name: row.Name, Species: s.ID, Field: info.field, Outcome: v.outcome, Side: v.side, By: v.by,
			Unit: info.unit, Published: m.text(info), Basis: basisOf(s, info), Detail: v.detail}
		f.Catalogue, _ = s.ValueText(info.field)
		if v.outcome == Differs {
			f.Reviewed = reasonFor(s, source+" "+info.field)
		}
		out = append(out, f)
	}
	return out
}

func (m measured) text(info measureInfo) string {
	switch {
	case info.ranged:
		return entry.FormatNumber(m.Low) + " " + entry.FormatNumber(m.High)
	case m.kind != UnsaidLength:
		return entry.FormatNumber(m.Low) + " " + string(m.kind)
	}
	return entry.FormatNumber(m.Low)
}

func basisOf(s *species.Species, info measureInfo) species.Basis {
	if info.ranged {
		return s.Water[info.parameter].Basis
	}
	t, _ := species.TraitByKey(info.field)
	return s.Traits[t].Basis
}

// reasonFor is the reason under a key of reviews, empty where there is none.
func reasonFor(s *species.Species, key string) string {
	for _, review := range s.Reviewed {
		if review.Field == key {
			return review.Reason
		}
	}
	return ""
}
