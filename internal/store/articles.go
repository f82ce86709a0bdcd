package store

import (
	"context"
	"fmt"
	"strings"
	"time"

	"commensal/internal/articles"
	"commensal/internal/species"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Article is a stored article with what it meant when it was written.
type Article struct {
	articles.Article
	articles.Meaning
	// Settled says that the species came by a patch, not with an upload.
	Settled              bool
	Version              int64
	CreatedAt, UpdatedAt time.Time
}

const articleColumns = `article, name, species, settled, price_class, in_stock, note, match, kinds, broader, good, version, created_at, updated_at`

func scanArticle(row pgx.CollectableRow) (a Article, err error) {
	var kinds []string
	err = row.Scan(&a.Number, &a.Name, &a.Species, &a.Settled, &a.PriceClass, &a.InStock, &a.Note, &a.Match, &kinds, &a.Broader, &a.Good,
		&a.Version, &a.CreatedAt, &a.UpdatedAt)
	for _, id := range kinds {
		a.Meaning.Kinds = append(a.Meaning.Kinds, species.ID(id))
	}
	return a, err
}

// StockChange is what an upload of the whole list did.
type StockChange struct {
	Added, Changed, Unchanged, Removed int
	Settled                            int // articles whose species of a patch stays
}

// StockShrinksError says that an upload would take away more than half of what is stored. Nothing was written.
type StockShrinksError struct{ Stored, Gone int }

func (e *StockShrinksError) Error() string {
	return fmt.Sprintf("store: the upload would take away %d of %d articles", e.Gone, e.Stored)
}

// fewArticles is how many articles may go with one upload, whatever part of the list they are.
const fewArticles = 20

// Upload is a list of articles that takes the place of what is stored.
type Upload struct {
	List []Article // each number once
	// Keep leaves articles that are not on the list; Remove takes them away however many they are. With neither they
	// are taken away unless they are more than half of what is stored: [*StockShrinksError].
	Keep, Remove bool
	// Settle gives an article of the list the species that a patch gave it before, and its meaning.
	Settle func(a *Article, species string)
}

// uploadPatience bounds the writing of a long list.
const uploadPatience = 25 * time.Second

// ReplaceArticles stores a list in place of what there is, all of it or nothing. One upload of an organization is
// written at a time; another one that is under way for long is [ErrBusy].
func (s *Store) ReplaceArticles(ctx context.Context, organization uuid.UUID, u Upload) (done StockChange, err error) {
	err = s.as(ctx, uploadPatience, opening{false, organization}, func(t *Tx) error {
		done, err = t.replaceArticles(ctx, &u)
		return err
	})
	return done, err
}

func (t *Tx) replaceArticles(ctx context.Context, u *Upload) (done StockChange, err error) {
	if err := t.lockArticles(ctx); err != nil {
		return done, err
	}
	if done.Settled, err = t.settleAgain(ctx, u); err != nil {
		return done, err
	}
	c := columnsOf(u.List)
	if !u.Keep {
		if done.Removed, err = t.removeOthers(ctx, c.number, u.Remove); err != nil {
			return done, err
		}
	}
	err = t.tx.QueryRow(ctx, upsertArticles, t.organization, c.number, c.name, c.species, c.settled, c.price, c.stock, c.note, c.match, c.kinds, c.broader, c.good).
		Scan(&done.Added, &done.Changed)
	done.Unchanged = len(u.List) - done.Added - done.Changed
	return done, explain("store the articles", err)
}

// lockArticles lets one at a time change the list of an organization, so that two long lists do not embrace.
func (t *Tx) lockArticles(ctx context.Context) error {
	_, err := t.tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtextextended($1::text, 0))`, "articles "+t.organization.String())
	return explain("lock the articles", err)
}

// settleAgain gives articles of the list the species of an earlier patch, where the list has the same name and says no
// species.
func (t *Tx) settleAgain(ctx context.Context, u *Upload) (n int, err error) {
	type settled struct{ Number, Name, Species string }
	list, err := many(ctx, t, "read what was settled", pgx.RowToStructByPos[settled],
		`SELECT article, name, species FROM articles WHERE organization_id = $1 AND settled`, t.organization)
	if err != nil || len(list) == 0 {
		return 0, err
	}
	before := make(map[string]settled, len(list))
	for _, s := range list {
		before[s.Number] = s
	}
	for i := range u.List {
		a := &u.List[i]
		if s, ok := before[a.Number]; ok && a.Species == "" && a.Name == s.Name {
			u.Settle(a, s.Species)
			a.Settled = true
			n++
		}
	}
	return n, nil
}

// removeOthers takes away what is not on a list.
func (t *Tx) removeOthers(ctx context.Context, numbers []string, any bool) (gone int, err error) {
	var stored int
	err = t.tx.QueryRow(ctx, `
		SELECT count(*), count(*) FILTER (WHERE g.article IS NULL)
		FROM articles a LEFT JOIN unnest($2::text[]) AS g (article) USING (article)
		WHERE a.organization_id = $1`, t.organization, numbers).Scan(&stored, &gone)
	if err != nil || gone == 0 {
		return 0, explain("compare the articles", err)
	}
	if !any && gone > fewArticles && 2*gone > stored {
		return 0, &StockShrinksError{stored, gone}
	}
	_, err = t.tx.Exec(ctx, `
		DELETE FROM articles a
		WHERE a.organization_id = $1 AND NOT EXISTS (SELECT FROM unnest($2::text[]) AS g (article) WHERE g.article = a.article)`, t.organization, numbers)
	return gone, explain("remove articles", err)
}

// articleColumnsOf are a list, column by column.
type articleColumnsOf struct {
	number, name, species, price, note, match, kinds, good []string
	settled                                                []bool
	stock                                                  []*int
	broader                                                []int
}

func columnsOf(list []Article) (c articleColumnsOf) {
	for i := range list {
		a := &list[i]
		c.number, c.name, c.species, c.settled = append(c.number, a.Number), append(c.name, a.Name), append(c.species, a.Species), append(c.settled, a.Settled)
		c.price, c.stock, c.note = append(c.price, a.PriceClass), append(c.stock, a.InStock), append(c.note, a.Note)
		c.match, c.kinds, c.broader, c.good = append(c.match, string(a.Match)), append(c.kinds, kindsText(a.Meaning.Kinds)), append(c.broader, a.Broader), append(c.good, string(a.Good))
	}
	return c
}

// kindsText is a list of ids as one text: an id has no blank.
func kindsText(ids []species.ID) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = string(id)
	}
	return strings.Join(out, " ")
}

// upsertArticles writes what is new or different, and counts both. xmax is zero in a row that was not there before.
const upsertArticles = `
	WITH written AS (
		INSERT INTO articles AS a (organization_id, article, name, species, settled, price_class, in_stock, note, match, kinds, broader, good)
		SELECT $1, article, name, species, settled, price_class, in_stock, note, match, string_to_array(kinds, ' '), broader, good
		FROM unnest($2::text[], $3::text[], $4::text[], $5::boolean[], $6::text[], $7::integer[], $8::text[], $9::text[], $10::text[], $11::integer[], $12::text[])
			AS g (article, name, species, settled, price_class, in_stock, note, match, kinds, broader, good)
		ON CONFLICT (organization_id, article) DO UPDATE
			SET name = excluded.name, species = excluded.species, settled = excluded.settled, price_class = excluded.price_class, in_stock = excluded.in_stock,
				note = excluded.note, match = excluded.match, kinds = excluded.kinds, broader = excluded.broader, good = excluded.good,
				version = a.version + 1, updated_at = now()
			WHERE (a.name, a.species, a.settled, a.price_class, a.in_stock, a.note, a.match, a.kinds, a.broader, a.good) IS DISTINCT FROM
				(excluded.name, excluded.species, excluded.settled, excluded.price_class, excluded.in_stock, excluded.note, excluded.match, excluded.kinds, excluded.broader, excluded.good)
		RETURNING xmax = 0 AS added
	)
	SELECT count(*) FILTER (WHERE added), count(*) FILTER (WHERE NOT added) FROM written`

const articleByNumber = `SELECT ` + articleColumns + ` FROM articles WHERE organization_id = $1 AND article = $2`

// Article returns an article of an organization, or [ErrNotFound]. It takes one round trip.
func (s *Store) Article(ctx context.Context, organization uuid.UUID, number string) (a Article, err error) {
	err = s.ask(ctx, "read the article", organization, func(batch *pgx.Batch) {
		queueOne(batch, &a, scanArticle, articleByNumber, organization, number)
	})
	return a, err
}

// ArticlesOf returns the articles with the given numbers, those that there are. It takes one round trip.
func (s *Store) ArticlesOf(ctx context.Context, organization uuid.UUID, numbers []string) (list []Article, err error) {
	err = s.ask(ctx, "read the articles", organization, func(batch *pgx.Batch) {
		queueMany(batch, &list, scanArticle, `
			SELECT `+articleColumns+` FROM articles WHERE organization_id = $1 AND article = ANY ($2)`, organization, numbers)
	})
	return list, err
}

// ArticleFilter narrows a list of articles; nil lets all pass.
type ArticleFilter struct {
	Match   *string
	Species *string // one of the kinds that it may mean
	Sold    *bool   // whether it is in stock
}

// Articles lists articles in order of number, from behind the number after, at most limit of them.
func (t *Tx) Articles(ctx context.Context, f ArticleFilter, after string, limit int) ([]Article, error) {
	return many(ctx, t, "list the articles", scanArticle, `
		SELECT `+articleColumns+` FROM articles
		WHERE organization_id = $1 AND article > $2
			AND ($4::text IS NULL OR match = $4) AND ($5::text IS NULL OR $5 = ANY (kinds)) AND ($6::boolean IS NULL OR (in_stock IS DISTINCT FROM 0) = $6)
		ORDER BY article LIMIT $3`, t.organization, after, limit, f.Match, f.Species, f.Sold)
}

// ChangeArticle replaces an article by what change makes of it, unless it is another version than the caller means
// ([ErrStale]). What change reports passes unchanged. The number stays.
func (t *Tx) ChangeArticle(ctx context.Context, number string, match Match, change func(Article) (Article, error)) (Article, error) {
	old, err := t.lockArticle(ctx, number, match)
	if err != nil {
		return Article{}, err
	}
	a, err := change(old)
	if err != nil {
		return Article{}, err
	}
	return one(ctx, t, "change the article", scanArticle, `
		UPDATE articles SET name = $3, species = $4, settled = $5, price_class = $6, in_stock = $7, note = $8,
			match = $9, kinds = string_to_array($10, ' '), broader = $11, good = $12, version = version + 1, updated_at = now()
		WHERE organization_id = $1 AND article = $2
		RETURNING `+articleColumns, t.organization, number, a.Name, a.Species, a.Settled, a.PriceClass, a.InStock, a.Note,
		string(a.Match), kindsText(a.Meaning.Kinds), a.Broader, string(a.Good))
}

// lockArticle returns an article of the version meant and keeps others from changing it.
func (t *Tx) lockArticle(ctx context.Context, number string, match Match) (Article, error) {
	if err := t.lockArticles(ctx); err != nil {
		return Article{}, err
	}
	a, err := one(ctx, t, "read the article", scanArticle, articleByNumber+` FOR UPDATE`, t.organization, number)
	if err == nil && !match(a.Version) {
		err = ErrStale
	}
	return a, err
}

// DeleteArticle deletes an article, unless it is another version than the caller means.
func (t *Tx) DeleteArticle(ctx context.Context, number string, match Match) error {
	if _, err := t.lockArticle(ctx, number, match); err != nil {
		return err
	}
	_, err := t.tx.Exec(ctx, `DELETE FROM articles WHERE organization_id = $1 AND article = $2`, t.organization, number)
	return explain("delete the article", err)
}

// OnOffer is a kind that is in stock, with the article of the lowest number that is one and nothing else.
type OnOffer struct{ Species, Number, Name, PriceClass string }

// OnOffer lists the kinds that an organization has in stock, in order of id: in some price classes, or in any where none is
// named. any says whether it has articles at all. It takes one round trip.
func (s *Store) OnOffer(ctx context.Context, organization uuid.UUID, classes []string) (list []OnOffer, any bool, err error) {
	err = s.ask(ctx, "read what is on offer", organization, func(batch *pgx.Batch) {
		queueMany(batch, &list, pgx.RowToStructByPos[OnOffer], `
			SELECT DISTINCT ON (kinds[1]) kinds[1], article, name, price_class FROM articles
			WHERE organization_id = $1 AND match = 'matched' AND in_stock IS DISTINCT FROM 0 AND ($2::text[] IS NULL OR price_class = ANY ($2))
			ORDER BY kinds[1], article`, organization, classes)
		queueOne(batch, &any, pgx.RowTo[bool], `SELECT EXISTS (SELECT FROM articles WHERE organization_id = $1)`, organization)
	})
	return list, any, err
}
