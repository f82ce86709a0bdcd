package published

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
)

// Tally counts the outcomes of one field.
type Tally struct {
	Field                                   string
	Agrees, Differs, Reviewed, Incomparable int // what is reviewed is counted among what differs too
}

// Tallies count the outcomes, by field in the order of the measures.
func (r *Report) Tallies() []Tally {
	var out []Tally
	for _, info := range measureInfos {
		t := Tally{Field: info.field}
		for _, f := range r.Findings {
			if f.Field == info.field {
				t.count(f)
			}
		}
		if t.Agrees+t.Differs+t.Incomparable > 0 {
			out = append(out, t)
		}
	}
	return out
}

func (t *Tally) count(f Finding) {
	switch f.Outcome {
	case Agrees:
		t.Agrees++
	case Differs:
		t.Differs++
		if f.Reviewed != "" {
			t.Reviewed++
		}
	default:
		t.Incomparable++
	}
}

// WriteText writes the report for people: what differs or cannot be compared, one a line, then the counts.
func (r *Report) WriteText(w io.Writer) error {
	var b bytes.Buffer
	for _, f := range r.Findings {
		switch f.Outcome {
		case Differs:
			fmt.Fprintf(&b, "line %d: %s: %s: differs, %s by %s %s: the catalogue has %s, the table %s; %s", f.Line, f.Species, f.Field, f.Side,
				shown(f.By), f.Unit, f.Catalogue, f.Published, f.Detail)
			if f.Reviewed != "" {
				fmt.Fprintf(&b, "; right because %s", f.Reviewed)
			}
			fmt.Fprintln(&b)
		case NotComparable:
			fmt.Fprintf(&b, "line %d: %s: %s: not comparable: %s\n", f.Line, f.Species, f.Field, f.Detail)
		}
	}
	for _, n := range r.NotFound {
		fmt.Fprintf(&b, "line %d: %s: not found\n", n.Line, n.Name)
	}
	r.writeTallies(&b)
	_, err := b.WriteTo(w)
	return err
}

func (r *Report) writeTallies(b *bytes.Buffer) {
	fmt.Fprintf(b, "\n%-18s %7s %8s %9s %15s\n", r.Source, "agrees", "differs", "reviewed", "not comparable")
	for _, t := range r.Tallies() {
		fmt.Fprintf(b, "%-18s %7d %8d %9d %15d\n", t.Field, t.Agrees, t.Differs, t.Reviewed, t.Incomparable)
	}
	fmt.Fprintf(b, "%d rows, %d not found\n", r.Rows, len(r.NotFound))
	for _, header := range r.SetAside {
		fmt.Fprintf(b, "not compared: column %s\n", header)
	}
}

// WriteCSV writes every finding as a row, and then the names that were not found.
func (r *Report) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"line", "scientificName", "taxonID", "field", "outcome", "side", "by", "unit", "published", "catalogue", "basis", "detail", "reviewed", "source"}}
	for _, f := range r.Findings {
		by := ""
		if f.Outcome == Differs {
			by = shown(f.By)
		}
		rows = append(rows, []string{strconv.Itoa(f.Line), f.Name, string(f.Species), f.Field, string(f.Outcome), f.Side, by, f.Unit,
			f.Published, f.Catalogue, string(f.Basis), f.Detail, f.Reviewed, r.Source})
	}
	for _, n := range r.NotFound {
		rows = append(rows, []string{strconv.Itoa(n.Line), n.Name, "", "", "not found", "", "", "", "", "", "", "", "", r.Source})
	}
	return out.WriteAll(rows)
}

// WriteJSON writes the report as one JSON object.
func (r *Report) WriteJSON(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(r)
}
