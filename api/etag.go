package api

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"net/http"
	"strings"

	"commensal/api/gen"
	"commensal/internal/conflict"

	"github.com/labstack/echo/v4"
)

// entityTag is the strong entity tag of an answer: a hash of everything the answer is
// made from, namely program, model, catalogue revision, and the canonical path and
// query. Equal requests of different spelling have equal tags.
func (s *Server) entityTag(book *conflict.Book, canonical string) string {
	return s.tagUnder(book, book.Snapshot.Revision(), canonical)
}

// tagUnder is the entity tag that an answer has under another revision of the catalogue.
func (s *Server) tagUnder(book *conflict.Book, revision int64, canonical string) string {
	sum := digest(s.cfg.Version, book.Model.Version(), revision, canonical)
	return `"` + base64.RawURLEncoding.EncodeToString(sum[:18]) + `"`
}

// digest hashes the parts, each text with its length before it.
func digest(version, model string, revision int64, canonical string) [sha256.Size]byte {
	text := make([]byte, 0, 256)
	text = binary.BigEndian.AppendUint64(text, uint64(revision))
	for _, part := range [...]string{version, model, canonical} {
		text = binary.AppendUvarint(text, uint64(len(part)))
		text = append(text, part...)
	}
	return sha256.Sum256(text)
}

// matchesTag applies If-None-Match (RFC 9110 §13.1.2): any of the listed tags, weakly
// compared, or "*".
func matchesTag(fields []string, tag string) bool { return anyTag(fields, tag, true) }

// matchesTagStrongly applies If-Match (§13.1.1): weak tags match nothing.
func matchesTagStrongly(fields []string, tag string) bool { return anyTag(fields, tag, false) }

func anyTag(fields []string, tag string, weakly bool) bool {
	for _, field := range fields {
		for field != "" {
			item := strings.TrimLeft(field, " \t,")
			if strings.HasPrefix(item, "*") {
				return true
			}
			item, weak := strings.CutPrefix(item, "W/")
			if !strings.HasPrefix(item, `"`) {
				break // not an entity tag: what follows cannot be read
			}
			end := strings.IndexByte(item[1:], '"')
			if end < 0 {
				break
			}
			if item[:end+2] == tag && (weakly || !weak) {
				return true
			}
			field = item[end+2:]
		}
	}
	return false
}

// answerConditionally replaces an answer that the client still has by 304, before its
// body is made.
func answerConditionally(next gen.StrictHandlerFunc, _ string) gen.StrictHandlerFunc {
	return func(c echo.Context, request any) (any, error) {
		answer, err := next(c, request)
		reading := c.Request().Method == http.MethodGet || c.Request().Method == http.MethodHead
		if r, ok := answer.(*reply); ok && err == nil && r.etag != "" && reading {
			if fields := c.Request().Header["If-None-Match"]; len(fields) > 0 && matchesTag(fields, r.etag) {
				return r.notModified(), nil
			}
		}
		return answer, err
	}
}
