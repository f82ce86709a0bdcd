package respond

import (
	"mime"
	"net/http"
	"strconv"
	"strings"
)

// TextType is the media type of slips.
const TextType = "text/plain; charset=utf-8"

// PrefersText reports whether a request wants plain text rather than JSON: its Accept (RFC 9110 §12.5.1)
// weighs text/plain higher. Without the field, and where both weigh the same, JSON is answered.
func PrefersText(r *http.Request) bool {
	fields := r.Header["Accept"]
	if len(fields) == 0 {
		return false
	}
	var text, other accepted
	for _, field := range fields {
		for item := range strings.SplitSeq(field, ",") {
			media, params, err := mime.ParseMediaType(item)
			if err != nil {
				continue
			}
			q := 1.0
			if given, ok := params["q"]; ok {
				if q, err = strconv.ParseFloat(given, 64); err != nil || !(q >= 0 && q <= 1) {
					continue
				}
			}
			text.take(media, "text", "plain", q)
			other.take(media, "application", "json", q)
		}
	}
	return text.q > other.q
}

// accepted is what the field says of one media type; the most specific range that matches counts.
type accepted struct {
	q        float64
	specific int
}

func (w *accepted) take(media, kind, subtype string, q float64) {
	specific := 0
	switch media {
	case kind + "/" + subtype:
		specific = 3
	case kind + "/*":
		specific = 2
	case "*/*":
		specific = 1
	}
	if specific > w.specific {
		w.q, w.specific = q, specific
	}
}
