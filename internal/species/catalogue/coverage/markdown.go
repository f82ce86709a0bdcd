package coverage

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/verify"
)

// WriteMarkdown writes the report as a page for people, with what verification found:
// what is still to review, and what was found right and why.
func (r Report) WriteMarkdown(w io.Writer, problems []verify.Problem) error {
	var b bytes.Buffer
	fmt.Fprint(&b, "# What the catalogue holds\n\nMade by `make catalogue-report` from `db/catalogue`; do not edit. What a trait means and how it\n"+
		"is graded stands in [the catalogue's README](README.md).\n\n")
	fmt.Fprintf(&b, "%d entries, %d of them trade forms, in %d families; %d trade words for several; %d sources.\n",
		r.Entries, r.Forms, len(r.Families), r.Words, r.Sources)
	r.markdownBases(&b)
	r.markdownValues(&b)
	r.markdownCounts(&b)
	markdownProblems(&b, problems)
	_, err := b.WriteTo(w)
	return err
}

// markdownTable begins a section with a table; columns behind the first are numbers
// where their title begins with a '#'.
func markdownTable(b *bytes.Buffer, title string, columns ...string) {
	fmt.Fprintf(b, "\n## %s\n\n", title)
	rule := make([]string, len(columns))
	for i, c := range columns {
		rule[i] = "---"
		if name, isNumber := strings.CutPrefix(c, "#"); isNumber {
			columns[i], rule[i] = name, "---:"
		}
	}
	markdownRow(b, columns...)
	markdownRow(b, rule...)
}

// markdownRow writes cells, in which a bar would end the cell.
func markdownRow(b *bytes.Buffer, cells ...string) {
	for i, c := range cells {
		cells[i] = strings.ReplaceAll(c, "|", `\|`)
	}
	fmt.Fprintf(b, "| %s |\n", strings.Join(cells, " | "))
}

func (r Report) markdownBases(b *bytes.Buffer) {
	markdownTable(b, "What the values rest on", "basis", "#values", "#share")
	for _, c := range r.Bases {
		markdownRow(b, string(c.Basis), fmt.Sprint(c.Values), fmt.Sprintf("%.1f %%", 100*c.Share))
	}
	fmt.Fprint(b, "\n`memory` is trade and textbook knowledge without a citation.\n")
}

func (r Report) markdownValues(b *bytes.Buffer) {
	markdownTable(b, "How many entries have each value", "value", "#entries", "#share", "")
	for _, rows := range [][]Filled{r.Traits, r.Water, r.Zones, r.Habits} {
		for _, f := range rows {
			remark := ""
			if !f.Required {
				remark = "optional"
			}
			markdownRow(b, "`"+f.Key+"`", fmt.Sprint(f.Entries), percent(f.Entries, r.Entries), remark)
		}
	}
}

func (r Report) markdownCounts(b *bytes.Buffer) {
	markdownTable(b, "Names", "language", "#names", "#entries", "#share of entries", "#usual in shops", "#share of the usual")
	for _, l := range r.Languages {
		markdownRow(b, l.Language, fmt.Sprint(l.Names), fmt.Sprint(l.Entries), percent(l.Entries, r.Entries),
			fmt.Sprint(l.Usual), percent(l.Usual, r.Usual))
	}
	fmt.Fprintf(b, "\nUsual are the %d entries that every shop or many shops have (`availability`).\n", r.Usual)
	markdownTable(b, "Families", "family", "#entries")
	for _, f := range r.Families {
		markdownRow(b, f.Family, fmt.Sprint(f.Entries))
	}
}

func percent(part, whole int) string {
	if whole == 0 {
		return ""
	}
	return fmt.Sprintf("%.0f %%", 100*float64(part)/float64(whole))
}

// markdownProblems lists what is unusual: to be looked at, and what was.
func markdownProblems(b *bytes.Buffer, problems []verify.Problem) {
	for _, part := range []struct {
		severity verify.Severity
		title    string
		none     string
	}{
		{verify.SeverityReview, "Unusual, to be looked at", "Nothing."},
		{verify.SeverityReviewed, "Unusual, and right", "Nothing yet."},
	} {
		found := false
		for _, p := range problems {
			if p.Severity != part.severity {
				continue
			}
			if !found {
				markdownTable(b, part.title, "entry", "value", "what is unusual", "why it is right")
				found = true
			}
			markdownRow(b, string(p.Species), entry.ReviewKey(p.Field), p.Detail, p.Reason)
		}
		if !found {
			fmt.Fprintf(b, "\n## %s\n\n%s\n", part.title, part.none)
		}
	}
}
