package lists

import (
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"

	"github.com/labstack/echo/v4"
)

// Shelf is what an organization sells.
type Shelf interface {
	// Keyed reports whether the request has a key that may read the stock.
	Keyed(c echo.Context) bool
	// ArticlesOf are what articles are, in words as a line has them, by number; those that there are.
	ArticlesOf(c echo.Context, numbers []string) (map[string]string, error)
	// OnOffer are the kinds in stock, in some price classes or in any; from says where offers are to come from. fromStock
	// is false where they come from the catalogue.
	OnOffer(c echo.Context, from *gen.OfferSource, classes []string) (list []OnOffer, fromStock bool, err error)
}

// OnOffer is a kind that is in stock, and one article that is it.
type OnOffer struct {
	Species                   species.ID
	Article, Name, PriceClass string
}

// SpokenLine is a line of a request and where it stands.
type SpokenLine struct {
	At   string // JSON Pointer
	Line *gen.LineInput
}

// LinesAt are the lines of a list that stands at a place.
func LinesAt(at string, list []gen.LineInput) []SpokenLine {
	out := make([]SpokenLine, len(list))
	for i := range list {
		out[i] = SpokenLine{at + "/" + strconv.Itoa(i), &list[i]}
	}
	return out
}

// plainlyNamed reports that every line of some lists names a species and none an article.
func plainlyNamed(lists ...[]gen.LineInput) bool {
	for _, list := range lists {
		for i := range list {
			if list[i].Article != nil || list[i].Species == "" {
				return false
			}
		}
	}
	return true
}

// nameCheck is [Lists.NameArticles] of the lines of a check.
func (s *Lists) nameCheck(c echo.Context, from articleSource, in *gen.CheckRequest) (private bool, err error) {
	incoming := wire.Value(in.Incoming)
	if plainlyNamed(in.Residents, incoming) {
		return false, nil
	}
	return s.nameArticles(c, from, [][]SpokenLine{LinesAt("/residents", in.Residents), LinesAt("/incoming", incoming)})
}

// NameArticles puts into each line that names an article what the organization says that it is: from then on the line is
// read as if that had been written there, and it is spoken of by the article's number where it has no ref. private
// reports whether there was one.
func (s *Lists) NameArticles(c echo.Context, lines ...[]SpokenLine) (private bool, err error) {
	return s.nameArticles(c, s.shelf.ArticlesOf, lines)
}

// articleSource says what articles are, in words as a line has them, by number; those that there are.
type articleSource func(c echo.Context, numbers []string) (map[string]string, error)

// nameArticles is [Lists.NameArticles] with what articles are from a source.
func (s *Lists) nameArticles(c echo.Context, from articleSource, lines [][]SpokenLine) (private bool, err error) {
	numbers, err := articlesIn(lines)
	if err != nil || len(numbers) == 0 {
		return false, err
	}
	known := map[string]string{}
	keyed := s.shelf.Keyed(c)
	if keyed {
		if known, err = from(c, numbers); err != nil {
			return true, err
		}
	}
	return true, apply(lines, known, keyed)
}

// ArticleText is what an article is, in words as a line has them; for a line that is known later.
func (s *Lists) ArticleText(c echo.Context, number string) (func(*gen.LineInput) error, error) {
	known, keyed := map[string]string{}, s.shelf.Keyed(c)
	if keyed && number != "" {
		var err error
		if known, err = s.shelf.ArticlesOf(c, []string{number}); err != nil {
			return nil, err
		}
	}
	return func(line *gen.LineInput) error {
		lines := [][]SpokenLine{{{"", line}}}
		if numbers, err := articlesIn(lines); err != nil || len(numbers) == 0 {
			return err
		}
		return apply(lines, known, keyed)
	}, nil
}

// articlesIn gathers the articles that lines name. Each line names a species or an article.
func articlesIn(lines [][]SpokenLine) (numbers []string, err error) {
	found := respond.Faults{Malformed: respond.MalformedBody}
	for _, list := range lines {
		for _, l := range list {
			if found.Full() {
				break
			}
			switch {
			case l.Line.Article == nil && l.Line.Species == "":
				at := l.At + "/species"
				found.Unreadable = append(found.Unreadable, respond.AtField(gen.Body, at, at+" is missing.", "add it, or with a key the number of an article of your stock"))
			case l.Line.Article == nil:
			case l.Line.Species != "":
				found.Impossible = append(found.Impossible, respond.AtField(gen.Body, l.At+"/article", l.spoken()+" names a species and an article.", "give one of them"))
			default:
				numbers = append(numbers, *l.Line.Article)
			}
		}
	}
	return numbers, found.Err()
}

// spoken is the line in words.
func (l *SpokenLine) spoken() string {
	if l.At == "" {
		return "The line"
	}
	return l.At
}

// apply fills in what is known.
func apply(lines [][]SpokenLine, known map[string]string, keyed bool) error {
	found := respond.Faults{Malformed: respond.MalformedBody}
	for _, list := range lines {
		for _, l := range list {
			if l.Line.Article == nil || found.Full() {
				continue
			}
			number := *l.Line.Article
			said := l.spoken() + " names article " + strconv.Quote(validate.Printable(number))
			text, ok := known[number]
			switch {
			case !keyed:
				found.Impossible = append(found.Impossible, respond.AtField(gen.Body, l.At+"/article", said+", and the request has no key: articles are of an organization's own stock.",
					"send Authorization: Bearer with a key that has the scope stock:read, or give the species"))
			case !ok:
				found.Impossible = append(found.Impossible, respond.AtField(gen.Body, l.At+"/article", said+", which is not in the organization's stock.",
					"store it with PUT /v1/stock, or give the species"))
			default:
				l.Line.Species = text
				if l.Line.Ref == nil {
					l.Line.Ref = &number
				}
			}
		}
	}
	return found.Err()
}

// offer is what may be offered; nil is the whole catalogue.
type offer struct {
	indices  []int
	articles map[int]OnOffer // by position in the snapshot
}

// OfferFor finds what may be offered; nil is the whole catalogue. private reports whether it depends on who asks.
func (s *Lists) OfferFor(c echo.Context, book *conflict.Book, from *gen.OfferSource, classes []string) (_ *offer, private bool, err error) {
	private = c.Request().Header.Get("Authorization") != "" && (from == nil || *from != gen.OfferCatalogue)
	list, fromStock, err := s.shelf.OnOffer(c, from, classes)
	if err != nil || !fromStock {
		return nil, private, err
	}
	out := &offer{indices: []int{}, articles: make(map[int]OnOffer, len(list))}
	for _, o := range list {
		if m, err := book.Snapshot.Resolve(string(o.Species)); err == nil { // the catalogue may have changed since
			out.indices, out.articles[m.Index] = append(out.indices, m.Index), o
		}
	}
	return out, private, nil
}

// source is where offers come from, as the contract says it.
func (o *offer) source() gen.OfferSource {
	if o == nil {
		return gen.OfferCatalogue
	}
	return gen.OfferStock
}

// InStock are the positions of what is on offer; nil is the whole catalogue.
func (o *offer) inStock() []int {
	if o == nil {
		return nil
	}
	return o.indices
}
