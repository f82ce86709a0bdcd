package lists

import (
	"maps"
	"slices"

	"commensal/api/gen"
	"commensal/api/wire"

	"github.com/labstack/echo/v4"
)

// batchStock is what the lines of a batch have asked of the stock so far, so that a thousand of them do not ask a thousand times.
type batchStock struct {
	articles map[string]string
	offers   map[gen.OfferSource]onShelf // by the source that a line names, empty where it names none
}

// maxRemembered is how many articles are remembered, some MiB at most.
const maxRemembered = 10_000

// onShelf is what may be offered, see [Lists.OfferFor].
type onShelf struct {
	offer   *offer
	private bool
}

// articlesOf asks the shelf for those articles that no line before has named.
func (s *batchStock) articlesOf(shelf Shelf) articleSource {
	return func(c echo.Context, numbers []string) (map[string]string, error) {
		if s.articles == nil || len(s.articles) > maxRemembered {
			s.articles = map[string]string{}
		}
		unknown := slices.DeleteFunc(slices.Clone(numbers), func(number string) bool { _, known := s.articles[number]; return known })
		if len(unknown) > 0 {
			found, err := shelf.ArticlesOf(c, unknown)
			if err != nil {
				return nil, err
			}
			maps.Copy(s.articles, found)
		}
		return s.articles, nil
	}
}

// lookForOffers is [Lists.LookForOffers] with what was found for a line before.
func (b *batch) lookForOffers(q *Question) error {
	if q.offers() == 0 {
		return nil
	}
	from := wire.Value(q.Asked.OfferFrom)
	if known, ok := b.stock.offers[from]; ok {
		q.offer, q.Private = known.offer, known.private
		return nil
	}
	if err := b.lists.LookForOffers(b.c, q); err != nil {
		return err
	}
	if b.stock.offers == nil {
		b.stock.offers = map[gen.OfferSource]onShelf{}
	}
	b.stock.offers[from] = onShelf{q.offer, q.Private}
	return nil
}
