package stock

import (
	"net/url"

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

// ListStock lists the organization's articles.
func (s *Stock) ListStock(c echo.Context, p gen.ListStockParams) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	filter, values, err := readFilter(book.Snapshot, &p)
	if err != nil {
		return err
	}
	whose := transact.Who(c).Organization
	k, err := respond.NewKeyset(whose, "/v1/stock", values, p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	var list []store.Article
	err = transact.ReadAnywhere(c, s.store, func(tx *store.Tx) (err error) {
		list, err = tx.Articles(c.Request().Context(), filter, k.Place, k.Limit+1)
		return err
	})
	if err != nil {
		return err
	}
	list, next, link := respond.Cut(&k, whose, list, func(a *store.Article) string { return a.Number })
	page := gen.StockPage{Articles: make([]gen.Article, len(list)), Next: next}
	for i := range list {
		page.Articles[i] = articleWire(book.Snapshot, &list[i])
	}
	return respond.To(c).Send(respond.Listed(page, link))
}

// readFilter reads the filters of a list, and gives them as a query has them.
func readFilter(snap *species.Snapshot, p *gen.ListStockParams) (f store.ArticleFilter, values url.Values, err error) {
	values = url.Values{}
	if p.Match != nil {
		f.Match = wire.Optional(string(*p.Match))
		values.Set("match", string(*p.Match))
	}
	if p.InStock != nil {
		sold := *p.InStock == gen.StockTrue
		f.Sold = &sold
		values.Set("in_stock", string(*p.InStock))
	}
	if p.Species != nil {
		matches, err := wire.ResolveAll(snap, wire.InQuery("species", *p.Species))
		if err != nil {
			return f, values, err
		}
		f.Species = wire.Optional(string(matches[0].Species.ID))
		values.Set("species", *p.Species)
	}
	return f, values, nil
}

// GetArticle answers with one article.
func (s *Stock) GetArticle(c echo.Context, number string) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	a, err := s.store.Article(c.Request().Context(), transact.Who(c).Organization, number)
	if err != nil {
		return respond.StoreFault(err)
	}
	return respond.To(c).Send(answered(book.Snapshot, a))
}

// answered is an article with its version. What its names mean is of the catalogue as it is, which the entity tag does not
// tell: it is looked at anew each time.
func answered(snap *species.Snapshot, a store.Article) (*respond.Reply, error) {
	return respond.Thing(a.Version, func(a store.Article) (gen.Article, error) { return articleWire(snap, &a), nil }, a)
}

// PatchArticle changes an article.
func (s *Stock) PatchArticle(c echo.Context, number string, p gen.PatchArticleParams) error {
	in, err := validate.Body[gen.MergePatch](c)
	if err != nil {
		return err
	}
	match, err := respond.MatchOf(p.IfMatch)
	if err != nil {
		return err
	}
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		a, err := tx.ChangeArticle(c.Request().Context(), number, match, func(old store.Article) (store.Article, error) {
			return s.patched(book.Snapshot, old, *in)
		})
		if err != nil {
			return nil, err
		}
		return answered(book.Snapshot, a)
	}))
}

// patched is an article as a patch makes it.
func (s *Stock) patched(snap *species.Snapshot, old store.Article, patch gen.MergePatch) (store.Article, error) {
	var write gen.ArticleWrite
	if err := s.contract.PatchTo(articleWrite(&old), patch, "ArticleWrite", &write); err != nil {
		return old, err
	}
	now := old
	now.Article = Given(&write)
	r := wire.NewBody(snap)
	if now.Number != old.Number {
		r.Impossible("/article", "The number of an article cannot be changed.", "delete it and store another")
	}
	if now.Species != "" && now.Species != old.Species {
		if _, err := snap.ReadLabel(now.Species); err != nil {
			r.Unnamed("/species", now.Species, err)
		}
	}
	if err := r.Err(); err != nil {
		return old, err
	}
	if err := articles.Inspect([]articles.Article{now.Article}); err != nil {
		return old, oneFault(err)
	}
	now.Settled = now.Species != "" && (old.Settled || validate.Names(patch, "species"))
	now.Meaning = articles.MeaningOf(snap, &now.Article)
	return now, nil
}

// DeleteArticle deletes an article.
func (s *Stock) DeleteArticle(c echo.Context, number string, p gen.DeleteArticleParams) error {
	match, err := respond.MatchOf(p.IfMatch)
	if err != nil {
		return err
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		return respond.NoContent(), tx.DeleteArticle(c.Request().Context(), number, match)
	}))
}
