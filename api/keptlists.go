package api

import (
	"crypto/sha256"
	"net/http"

	"commensal/api/gen"

	"github.com/labstack/echo/v4"
)

// listKey tells one request about a list from all others: a digest of the operation,
// the query and the body as they were sent.
type listKey [sha256.Size]byte

// maxKeptLists bounds the encoded answers to lists that are kept, some 50 KB each.
const maxKeptLists = 512

const keptKey = "commensal.kept"

// toKeep is where the answer to a request belongs once it is made.
type toKeep struct {
	shelf *shelf
	key   listKey
}

// keptList answers a list that was asked about before under the same book, byte for byte:
// a till that asks again, a page that is read by many. Such a body passed every
// check the first time. Otherwise the context learns where the answer belongs.
func (s *Server) keptList(c echo.Context, o *operation, body []byte) *reply {
	sh, err := s.current()
	if err != nil || s.cfg.CacheEntries < 0 {
		return nil
	}
	h := sha256.New()
	h.Write([]byte(o.id + "\x00" + c.Request().URL.RawQuery + "\x00"))
	h.Write(body)
	keep := &toKeep{shelf: sh}
	h.Sum(keep.key[:0])
	if kept, ok := sh.lists.get(keep.key); ok {
		return kept
	}
	c.Set(keptKey, keep)
	return nil
}

// keepLists keeps the answers to lists, but not those that were recorded, each of which is
// one of its own, nor those that tell of what an organization stores.
func keepLists(next gen.StrictHandlerFunc, _ string) gen.StrictHandlerFunc {
	return func(c echo.Context, request any) (any, error) {
		answer, err := next(c, request)
		keep, wanted := c.Get(keptKey).(*toKeep)
		if r, ok := answer.(*reply); ok && wanted && err == nil && r.status == http.StatusOK && !r.private {
			keep.shelf.lists.put(keep.key, r.prepare())
		}
		return answer, err
	}
}
