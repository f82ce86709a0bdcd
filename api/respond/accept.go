package respond

import (
	"mime"
	"net/http"
	"strconv"
	"strings"
)

// The media types of slips, and of rows for a spreadsheet.
const (
	TextType = "text/plain; charset=utf-8"
	RowsType = "text/csv; charset=utf-8; header=present"
)

// PrefersText reports whether a request wants plain text rather than JSON: its Accept (RFC 9110 §12.5.1)
// weighs text/plain higher. Without the field, and where both weigh the same, JSON is answered.
func PrefersText(r *http.Request) bool {
	return prefers(r, [2]string{"text", "plain"}, [2]string{"application", "json"})
}

// PrefersRows reports whether a request wants rows for a spreadsheet rather than JSON Lines.
func PrefersRows(r *http.Request) bool {
	return prefers(r, [2]string{"text", "csv"}, [2]string{"application", "x-ndjson"})
}

// prefers reports whether the Accept of a request weighs a media type higher than the usual one.
func prefers(r *http.Request, wanted, usual [2]string) bool {
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
			text.take(media, wanted[0], wanted[1], q)
			other.take(media, usual[0], usual[1], q)
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
