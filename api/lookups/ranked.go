package lookups

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/species"

	"github.com/labstack/echo/v4"
)

// ranked is one species' score with the one it is ranked for.
type ranked struct {
	index int
	score float64
}

// RankPairings ranks the whole catalogue for one species.
func (s *Lookups) RankPairings(c echo.Context, name string, p gen.RankPairingsParams) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	matches, err := wire.ResolveAll(book.Snapshot, wire.InPath("species", name))
	if err != nil {
		return err
	}
	work.Count(c.Request().Context(), int64(book.Snapshot.Len()))
	q := rankedQuery(p)
	path := "/v1/species/" + string(matches[0].Species.ID) + "/pairings"
	list := rank(book, matches[0].Index, p)
	page, err := respond.PageOf(respond.ListID(book, path+"?"+q.Encode()), len(list), p.Limit, p.Cursor, path, rankedQuery(p))
	if err != nil {
		return err
	}
	location := withPage(path, q, p.Limit, p.Cursor)
	return respond.To(c).Send(&respond.Reply{Status: http.StatusOK, Media: respond.JSONType, ContentLocation: location, Link: page.Link,
		ETag: s.books.Tag(book, location),
		Make: func() (any, error) { return rankedWire(book, matches[0], list, page), nil }}, nil)
}

// rankedQuery is the canonical form of the filters; what says the default is left out.
func rankedQuery(p gen.RankPairingsParams) url.Values {
	q := url.Values{}
	if p.Level != nil {
		q.Set("level", string(*p.Level))
	}
	if p.Order != nil && *p.Order == gen.Highest {
		q.Set("order", string(gen.Highest))
	}
	return q
}

// withPage is a path with its query and the page asked for.
func withPage(path string, q url.Values, limit *int, cursor *string) string {
	if limit != nil && *limit != respond.DefaultLimit {
		q.Set("limit", strconv.Itoa(*limit))
	}
	if cursor != nil {
		q.Set("cursor", *cursor)
	}
	if len(q) == 0 {
		return path
	}
	return path + "?" + q.Encode()
}

// rank scores a species with every entry, its own kind among them, and orders by
// score and then by id, which is the order of the snapshot.
func rank(book *conflict.Book, of int, p gen.RankPairingsParams) []ranked {
	scores := book.Against(book.Profile(of), nil, nil)
	list := make([]ranked, 0, len(scores))
	for j, score := range scores {
		if p.Level == nil || conflict.LevelOf(score).String() == string(*p.Level) {
			list = append(list, ranked{j, score})
		}
	}
	sign := 1
	if p.Order != nil && *p.Order == gen.Highest {
		sign = -1
	}
	slices.SortFunc(list, func(a, b ranked) int {
		if a.score != b.score {
			return sign * cmp.Compare(a.score, b.score)
		}
		return a.index - b.index
	})
	return list
}

func rankedWire(book *conflict.Book, of species.Match, list []ranked, p respond.Page) gen.SpeciesPairingsPage {
	out := gen.SpeciesPairingsPage{
		Species: wire.SpeciesRef(of.Species), Pairings: []gen.RankedPairing{}, Next: p.Next,
		ModelVersion: book.Model.Version(), CatalogueRevision: book.Snapshot.Revision(),
	}
	words := conflict.English(false)
	for _, r := range list[p.From:p.To] {
		first, second := book.Profile(of.Index), book.Profile(r.index)
		c := conflict.ConditionsFor(first, second, nil)
		var told conflict.Pairing
		told.Score, told.Summary = book.Model.Brief(first, second, &c)
		out.Pairings = append(out.Pairings, gen.RankedPairing{
			Species: wire.SpeciesRef(second.Species), Score: wire.Tenths(r.score), Level: gen.Level(told.Score.Level.String()),
			MainReason: gen.MainReason(told.Score.Reason.String()), Summary: words.Summary(&told),
		})
	}
	return out
}
