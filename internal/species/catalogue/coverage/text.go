package coverage

import (
	"bytes"
	"fmt"
	"io"
	"text/tabwriter"
)

// WriteText writes the report as tables for people.
func (r Report) WriteText(w io.Writer) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%d entries, %d of them trade forms; %d words for several; %d sources\n", r.Entries, r.Forms, r.Words, r.Sources)
	r.table(&b, "Traits", r.Traits)
	r.table(&b, "Water", r.Water)
	r.table(&b, "Levels", r.Zones)
	r.table(&b, "Habits", r.Habits)
	fmt.Fprint(&b, "\nBasis of the values\n")
	t := newTable(&b)
	for _, c := range r.Bases {
		fmt.Fprintf(t, "  %s\t%d\t%.1f %%\n", c.Basis, c.Values, 100*c.Share)
	}
	t.Flush() // a bytes.Buffer takes everything
	fmt.Fprint(&b, "\nNames\n")
	t = newTable(&b)
	for _, l := range r.Languages {
		fmt.Fprintf(t, "  %s\t%d\tfor %d entries\t%d of the %d usual in shops\n", l.Language, l.Names, l.Entries, l.Usual, r.Usual)
	}
	t.Flush()
	_, err := b.WriteTo(w)
	return err
}

// table lists how many entries have each value, and which required ones lack.
func (r Report) table(b *bytes.Buffer, title string, rows []Filled) {
	fmt.Fprintf(b, "\n%s\n", title)
	t := newTable(b)
	for _, f := range rows {
		remark := ""
		switch missing := r.Entries - f.Entries; {
		case !f.Required:
			remark = "\toptional"
		case missing > 0:
			remark = fmt.Sprintf("\t%d missing", missing)
		}
		fmt.Fprintf(t, "  %s\t%d%s\n", f.Key, f.Entries, remark)
	}
	t.Flush()
}

func newTable(w io.Writer) *tabwriter.Writer {
	return tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.TabIndent)
}
