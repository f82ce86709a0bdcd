package stock

import (
	"context"
	"errors"
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/articles"
	"commensal/internal/species"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// ReplaceStock stores a list of articles in place of the one before, and reports on it.
func (s *Stock) ReplaceStock(c echo.Context, p gen.ReplaceStockParams) error {
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	file, err := readUpload(c)
	if err != nil {
		return err
	}
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	list, err := s.match(ctx, book.Snapshot, file.Articles)
	if err != nil {
		return err
	}
	missing := wire.Value(p.Missing)
	done, err := s.store.ReplaceArticles(ctx, transact.Who(c).Organization, store.Upload{
		List: list, Keep: missing == gen.KeepMissing, Remove: missing == gen.RemoveMissing,
		Settle: func(a *store.Article, text string) { settle(book.Snapshot, a, text) },
	})
	if err != nil {
		return shrinks(err)
	}
	out := reportOf(book.Snapshot, file, list)
	out.Stored = &gen.StockChange{Added: done.Added, Changed: done.Changed, Unchanged: done.Unchanged, Removed: done.Removed, Settled: done.Settled}
	out.Summary = summary(&out)
	return respond.To(c).Send(respond.JSON(out))
}

// shrinks is the problem of a list that would take away most of the stock; other errors of the store are those they are.
func shrinks(err error) error {
	var small *store.StockShrinksError
	if !errors.As(err, &small) {
		return respond.StoreFault(err)
	}
	detail := "The list would take away " + strconv.Itoa(small.Gone) + " of " + strconv.Itoa(small.Stored) + " articles, more than half of the stock: is it cut off?"
	return &respond.Fault{Slug: respond.ImpossibleValue, Detail: detail,
		Entries: respond.Fields(respond.AtField(gen.Body, "", detail, "send the whole list, or say with missing=remove that it is meant, or with missing=keep that the others stay"))}
}

// readUpload reads the list in either form.
func readUpload(c echo.Context) (*articles.File, error) {
	if validate.MediaOfText(c) != "" {
		file, err := articles.ReadCSV(validate.Text(c))
		return file, listFault(err)
	}
	in, err := validate.Body[gen.StockUpload](c)
	if err != nil {
		return nil, err
	}
	file := &articles.File{Articles: make([]articles.Article, len(in.Articles))}
	for i := range in.Articles {
		file.Articles[i] = Given(&in.Articles[i])
	}
	return file, listFault(articles.Inspect(file.Articles))
}

// listFault is the problem behind what is wrong with a list of articles.
func listFault(err error) error {
	var wrong *articles.ListError
	if !errors.As(err, &wrong) {
		return err
	}
	found := respond.Faults{Malformed: respond.MalformedBody}
	for i := range wrong.Problems {
		p := &wrong.Problems[i]
		field := respond.AtField(gen.Body, pointerTo(p), p.Sentence(), p.Fix)
		if p.Taken {
			found.Impossible = append(found.Impossible, field)
		} else {
			found.Unreadable = append(found.Unreadable, field)
		}
	}
	return found.Err()
}

// pointerTo is where a problem lies, in the list as it would be in JSON.
func pointerTo(p *articles.Problem) string {
	if p.Row < 0 {
		return ""
	}
	at := "/articles/" + strconv.Itoa(p.Row)
	if p.Field != "" {
		at += "/" + p.Field
	}
	return at
}

// What matching an article is likely to cost, in units of the desk, and how many are matched before looking whether
// anybody still waits.
const unitsEach, between = 30, 500

// match finds what each article means, at the desk.
func (s *Stock) match(ctx context.Context, snap *species.Snapshot, list []articles.Article) ([]store.Article, error) {
	job, err := s.desk.Begin(ctx, unitsEach*int64(len(list)))
	if err != nil {
		return nil, err
	}
	defer job.Done()
	out := make([]store.Article, len(list))
	for i := range list {
		if i%between == 0 && job.Gone() {
			return nil, &respond.Fault{Slug: respond.Overloaded, Detail: "The request was given up before it was answered."}
		}
		out[i].Article, out[i].Meaning = list[i], articles.MeaningOf(snap, &list[i])
	}
	job.Budget.Spend(int64(len(list))) // what it costs of the limit: a list is sent once a night
	return out, nil
}

// settle gives an article a species, and what it then means.
func settle(snap *species.Snapshot, a *store.Article, text string) {
	a.Species = text
	a.Meaning = articles.MeaningOf(snap, &a.Article)
}
