package localcli

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"commensal/api/gen"
)

// maxCandidatesShown is how many kinds an article is said to be perhaps.
const maxCandidatesShown = 6

// WriteStockReport writes for people what a list of articles came to.
func (l Layout) WriteStockReport(w io.Writer, r *gen.StockReport) error {
	var b bytes.Buffer
	line := func(lead, indent, text string) { b.WriteString(l.wrap(lead, indent, text) + "\n") }
	line("", "", r.Summary)
	if r.Columns != nil {
		used := make([]string, len(*r.Columns))
		for i, c := range *r.Columns {
			used[i] = fmt.Sprintf("%s as %s", c.Header, spaced(string(c.Field)))
		}
		line("Columns: ", "  ", strings.Join(used, ", ")+".")
	}
	if r.IgnoredColumns != nil {
		line("Ignored columns: ", "  ", strings.Join(*r.IgnoredColumns, ", ")+".")
	}
	if r.KindsNotJudged != nil {
		goods := make([]string, len(*r.KindsNotJudged))
		for i, g := range *r.KindsNotJudged {
			goods[i] = fmt.Sprintf("%s %d", g.Kind, g.Articles)
		}
		line("No fish of the catalogue: ", "  ", strings.Join(goods, ", ")+".")
	}
	writeTold(line, "May be several kinds", r.Told, gen.ArticleAmbiguous)
	writeTold(line, "Unknown", r.Told, gen.ArticleUnknown)
	if r.Further > 0 {
		line("", "", fmt.Sprintf("And %d more to look at.", r.Further))
	}
	_, err := b.WriteTo(w)
	return err
}

// writeTold lists the articles of one sort.
func writeTold(line func(lead, indent, text string), title string, told []gen.ArticleTold, match gen.ArticleMatch) {
	first := true
	for i := range told {
		t := &told[i]
		if t.Match != match {
			continue
		}
		if first {
			line("", "", "")
			line("", "", title)
			first = false
		}
		line("  ", "    ", toldText(t))
	}
}

func toldText(t *gen.ArticleTold) string {
	at := t.Article
	if t.Line != nil {
		at = fmt.Sprintf("line %d, %s", *t.Line, t.Article)
	}
	text := at + ": " + t.Text
	if len(t.Candidates) == 0 {
		return text
	}
	names := make([]string, 0, maxCandidatesShown)
	for _, c := range t.Candidates[:min(len(t.Candidates), maxCandidatesShown)] {
		names = append(names, fmt.Sprintf("%s (%s)", c.VernacularName, c.Id))
	}
	if t.Match == gen.ArticleUnknown {
		return text + "; near it: " + strings.Join(names, ", ")
	}
	if t.Broader != nil {
		names = append(names, fmt.Sprintf("%d more", *t.Broader))
	}
	return text + ": " + strings.Join(names, ", ")
}
