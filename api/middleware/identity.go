package middleware

import (
	"encoding/hex"
	"math/rand/v2"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// identity is how one request is told from all others: its id and its place in a
// trace (W3C Trace Context).
type identity struct {
	request string
	trace   string // 32 hexadecimal digits
	span    string // 16, of this answer
	parent  string // 16, of the caller, or empty
	flags   string // 2
	told    [2]string
}

const identityKey = "commensal.identity"

// maxRequestID is the longest request id that is taken over.
const maxRequestID = 128

// Identify gives every request an identity and states it in the answer. A request id
// and a trace that come with the request are continued when they are well formed.
func Identify() echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			id := identify(c.Request().Header)
			c.Set(identityKey, id)
			id.tell(c.Response().Header())
			return next(c)
		}
	}
}

// identify gives a request with these headers its identity.
func identify(h http.Header) *identity {
	return identityFrom(only(h["Traceparent"]), only(h["X-Request-Id"]))
}

// only is the first value of a header, "" for none.
func only(values []string) string {
	if len(values) == 0 {
		return ""
	}
	return values[0]
}

// tell states in the answer what it is called and where in a trace it stands.
func (id *identity) tell(h http.Header) {
	id.told = [2]string{id.request, "00-" + id.trace + "-" + id.span + "-" + id.flags}
	h["X-Request-Id"], h["Traceparent"] = id.told[:1:1], id.told[1:]
}

// sampled reports whether spans of the trace are kept somewhere.
func (id *identity) sampled() bool { return len(id.flags) == 2 && hexDigit(id.flags[1])&1 == 1 }

// identityOf is the identity that identify gave; requests that never came through it
// have an empty one.
func identityOf(c echo.Context) *identity {
	if id, ok := c.Get(identityKey).(*identity); ok {
		return id
	}
	return &identity{}
}

func identityFrom(traceparent, requestID string) *identity {
	id := &identity{flags: "00"}
	fresh := randomHex()
	id.span = fresh[32:]
	if trace, parent, flags, ok := parseTraceparent(traceparent); ok {
		id.trace, id.parent, id.flags = trace, parent, flags
	} else {
		id.trace = fresh[:32]
	}
	id.request = id.trace
	if saneRequestID(requestID) {
		id.request = requestID
	} else if id.parent != "" {
		id.request = fresh[:32] // several requests may share a trace
	}
	return id
}

// parseTraceparent reads a traceparent of version 00, or the part of a later version
// that is fixed to look the same.
func parseTraceparent(s string) (trace, parent, flags string, ok bool) {
	if len(s) < 55 || s[2] != '-' || s[35] != '-' || s[52] != '-' {
		return "", "", "", false
	}
	version, trace, parent, flags := s[:2], s[3:35], s[36:52], s[53:55]
	switch {
	case !isHex(version) || !isHex(trace) || !isHex(parent) || !isHex(flags), version == "ff",
		version == "00" && len(s) != 55, len(s) > 55 && s[55] != '-',
		strings.Trim(trace, "0") == "", strings.Trim(parent, "0") == "":
		return "", "", "", false
	}
	if version != "00" {
		flags = "0" + string("01"[hexDigit(flags[1])&1]) // only the sampled bit is known
	}
	return trace, parent, flags, true
}

func isHex(s string) bool {
	for i := range len(s) {
		if c := s[i]; (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
}

func hexDigit(c byte) byte {
	if c >= 'a' {
		return c - 'a' + 10
	}
	return c - '0'
}

func saneRequestID(s string) bool {
	if s == "" || len(s) > maxRequestID {
		return false
	}
	for i := range len(s) {
		c := s[i] | 0x20
		if (c < 'a' || c > 'z') && (s[i] < '0' || s[i] > '9') && strings.IndexByte("._~-", s[i]) < 0 {
			return false
		}
	}
	return true
}

// randomHex is a trace id and a span id, 48 hexadecimal digits, never all zero.
func randomHex() string {
	var raw [24]byte
	for i := 0; i < len(raw); i += 8 {
		x := rand.Uint64() | 1
		for k := range 8 {
			raw[i+k] = byte(x >> (8 * k))
		}
	}
	var text [48]byte
	hex.Encode(text[:], raw[:])
	return string(text[:])
}
