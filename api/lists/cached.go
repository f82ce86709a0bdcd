package lists

import (
	"crypto/sha256"
	"net/http"
	"strconv"

	"commensal/api/respond"
	"commensal/internal/conflict"

	"github.com/labstack/echo/v4"
)

// Key tells one request about a list from all others: a digest of the operation,
// the query, the body as they were sent, whether a slip is wanted, and the region of whoever asks.
type Key [sha256.Size]byte

const cachingKey = "commensal.caching"

// place is where the answer to a request belongs once it is made.
type place struct {
	book *conflict.Book
	key  Key
}

// Cached answers a list that was asked about before under the same book, byte for byte:
// a till that asks again, a page that is read by many. Such a body passed every
// check the first time. Otherwise the context learns where the answer belongs.
func (s *Lists) Cached(c echo.Context, operation string, body []byte) *respond.Reply {
	book, err := s.books.Book()
	if err != nil {
		return nil
	}
	media := respond.JSONType
	if respond.PrefersText(c.Request()) {
		media = respond.TextType
	}
	at := &place{book: book, key: keyOf(operation, c.Request().URL.RawQuery, media, s.whoAsks(c), body)}
	if before, ok := s.cache.Get(book, at.key); ok {
		return before
	}
	c.Set(cachingKey, at)
	return nil
}

// whoAsks is what an answer may depend on beside the request: where the organization is, and whether there is a key. What comes from
// a stock is never cached; but with a key an answer may come from there, and then it is another one.
func (s *Lists) whoAsks(c echo.Context) string {
	return s.adopters.Region(c) + "\x00" + strconv.FormatBool(c.Request().Header.Get("Authorization") != "")
}

// keyOf is the key of a request that is answered with a media type; who asks it, see whoAsks.
func keyOf(operation, query, media, who string, body []byte) (key Key) {
	h := sha256.New()
	h.Write([]byte(operation + "\x00" + query + "\x00" + media + "\x00" + who + "\x00"))
	h.Write(body)
	h.Sum(key[:0])
	return key
}

// sender sends the answer to one request, and caches it.
type sender struct {
	cache *respond.Cache[Key]
	c     echo.Context
}

func (s *Lists) to(c echo.Context) sender { return sender{s.cache, c} }

// Send sends an answer, and caches it: but not one that was recorded, which is one of its own, nor one that
// tells of what an organization stores.
func (s sender) Send(answer *respond.Reply, err error) error {
	at, wanted := s.c.Get(cachingKey).(*place)
	if err == nil && wanted && answer.Status == http.StatusOK && !answer.Private {
		s.cache.Put(at.book, at.key, answer.Prepare())
	}
	return respond.To(s.c).Send(answer, err)
}
