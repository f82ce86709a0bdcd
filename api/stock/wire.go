package stock

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/articles"
	"commensal/internal/species"
	"commensal/internal/store"
)

// Given is an article as a request has it. The contract has let only booleans and whole numbers be in stock.
func Given(in *gen.ArticleWrite) articles.Article {
	line := func(text *string) string { return strings.TrimSpace(wire.Value(text)) }
	return articles.Article{Number: strings.TrimSpace(in.Article), Name: line(in.Name), Species: line(in.Species), PriceClass: line(in.PriceClass), Note: line(in.Note),
		InStock: stockOf(in.InStock)}
}

// stockOf is how many are in stock; nil where that is not known.
func stockOf(raw *gen.InStock) *int {
	if raw == nil {
		return nil
	}
	switch text := string(*raw); text {
	case "true":
		return nil
	case "false":
		return new(int)
	default:
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return nil
		}
		n := int(x)
		return &n
	}
}

// stockWire is what is in stock, as the contract has it.
func stockWire(n *int) gen.InStock {
	if n == nil {
		return gen.InStock("true")
	}
	return gen.InStock(strconv.Itoa(*n))
}

// articleWrite is a stored article as it would be written.
func articleWrite(a *store.Article) gen.ArticleWrite {
	in := stockWire(a.InStock)
	return gen.ArticleWrite{Article: a.Number, Name: wire.Optional(a.Name), Species: wire.Optional(a.Species), PriceClass: wire.Optional(a.PriceClass),
		InStock: &in, Note: wire.Optional(a.Note)}
}

func articleWire(snap *species.Snapshot, a *store.Article) gen.Article {
	return gen.Article{Article: a.Number, Name: wire.Optional(a.Name), Species: wire.Optional(a.Species), PriceClass: wire.Optional(a.PriceClass),
		InStock: stockWire(a.InStock), Note: wire.Optional(a.Note), Match: gen.ArticleMatch(a.Match), Kind: wire.Optional(gen.GoodKind(a.Good)),
		Candidates: refs(articles.Candidates(snap, &a.Article, &a.Meaning)), Broader: wire.Present(a.Broader), Settled: a.Settled,
		CreatedAt: a.CreatedAt.UTC(), UpdatedAt: a.UpdatedAt.UTC()}
}

func refs(list []*species.Species) []gen.SpeciesRef { return wire.Mapped(list, wire.SpeciesRef) }

// maxTold is how many articles a report tells of.
const maxTold = 200

// reportOf is the report on a list, without what was stored.
func reportOf(snap *species.Snapshot, file *articles.File, list []store.Article) gen.StockReport {
	plain, meanings := make([]articles.Article, len(list)), make([]articles.Meaning, len(list))
	for i := range list {
		plain[i], meanings[i] = list[i].Article, list[i].Meaning
	}
	return Report(snap, file, plain, meanings)
}

// Report words what a list of articles came to; nothing of it is stored.
func Report(snap *species.Snapshot, file *articles.File, list []articles.Article, meanings []articles.Meaning) gen.StockReport {
	r := articles.ReportOn(snap, list, meanings, maxTold)
	out := gen.StockReport{Articles: r.Articles, Matched: r.Of[articles.Matched], Ambiguous: r.Of[articles.Ambiguous], Unknown: r.Of[articles.Unknown],
		NotJudged: r.Of[articles.NotJudged], Told: make([]gen.ArticleTold, len(r.Told)), Further: r.Further, CatalogueRevision: snap.Revision()}
	for i := range r.Told {
		t := &r.Told[i]
		out.Told[i] = gen.ArticleTold{Article: t.Article.Number, Line: wire.Present(t.Article.Line), Text: t.Article.Text(), Match: gen.ArticleMatch(t.Match),
			Candidates: refs(t.Candidates), Broader: wire.Present(t.Broader)}
	}
	if len(r.NotJudged) > 0 {
		goods := goodCounts(r.NotJudged)
		out.KindsNotJudged = &goods
	}
	if len(file.Columns) > 0 {
		columns := usedColumns(file.Columns)
		out.Columns = &columns
	}
	if len(file.Ignored) > 0 {
		out.IgnoredColumns = &file.Ignored
	}
	out.Summary = summary(&out)
	return out
}

// goodCounts are so many of each sort, the most first.
func goodCounts(of map[species.GoodKind]int) (out []gen.GoodCount) {
	for _, kind := range slices.Sorted(maps.Keys(of)) {
		out = append(out, gen.GoodCount{Kind: gen.GoodKind(kind), Articles: of[kind]})
	}
	slices.SortStableFunc(out, func(a, b gen.GoodCount) int { return cmp.Compare(b.Articles, a.Articles) })
	return out
}

// usedColumns are the columns of a file, in the order of the fields.
func usedColumns(of map[string]string) (out []gen.UsedColumn) {
	for _, field := range articles.Fields {
		if header, ok := of[field]; ok {
			out = append(out, gen.UsedColumn{Field: gen.UsedColumnField(field), Header: header})
		}
	}
	return out
}

// summary is a report in a sentence or two.
func summary(r *gen.StockReport) string {
	text := fmt.Sprintf("%s: %d matched, %d may mean several kinds, %d unknown, %d no fish of the catalogue.", counted(r.Articles), r.Matched, r.Ambiguous, r.Unknown, r.NotJudged)
	switch s := r.Stored; {
	case s == nil:
	case s.Added+s.Changed+s.Removed == 0:
		text += " Nothing has changed: the list is the one that is stored."
	default:
		text += fmt.Sprintf(" %d added, %d changed, %d removed, %d as before.", s.Added, s.Changed, s.Removed, s.Unchanged)
	}
	return text
}

func counted(n int) string {
	if n == 1 {
		return "1 article"
	}
	return strconv.Itoa(n) + " articles"
}

// oneFault is the problem of one article, at its fields.
func oneFault(err error) error {
	var wrong *articles.ListError
	if !errors.As(err, &wrong) {
		return err
	}
	found := respond.Faults{Malformed: respond.MalformedBody}
	for i := range wrong.Problems {
		p := &wrong.Problems[i]
		found.Impossible = append(found.Impossible, respond.AtField(gen.Body, "/"+p.Field, p.What, p.Fix))
	}
	return found.Err()
}
