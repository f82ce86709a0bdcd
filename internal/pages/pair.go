package pages

import (
	"net/url"
	"strings"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
)

// pairAsked takes the form of a question about two kinds to its page, or asks which
// kinds were meant.
func (q *request) pairAsked() *reply {
	return q.resolvePair(q.query.Get("first"), q.query.Get("second"), func(p links.Pair) *reply { return redirect(p.Path()) })
}

// pair answers a pairing: the page, its card as a picture, or as text for a post.
func (q *request) pair() *reply {
	second, ext := cutExt(q.value("second"))
	return q.resolvePair(q.value("first"), second, func(p links.Pair) *reply {
		answer, ok := q.Pair(p)
		switch {
		case !ok:
			return q.missing()
		case ext != "":
			card := q.pairCard(&answer)
			return q.picture(ext, &card, q.pairDrawings(&answer))
		case q.post() != "":
			card := q.pairCard(&answer)
			return q.asPost(&card, p.Path(), pictureAt(p.Bare(), p.Query(), "", ".png", 0))
		case q.value("first") != p.First || second != p.Second || !sameQuery(q.query, p.Query()):
			return redirect(p.Path())
		}
		return q.pairPage(&answer)
	})
}

// sameQuery reports whether the address already says what the canonical one says.
func sameQuery(query url.Values, canonical string) bool {
	want, err := url.ParseQuery(canonical)
	if err != nil || len(want) != len(query) {
		return false
	}
	for name := range want {
		if want.Get(name) != query.Get(name) {
			return false
		}
	}
	return true
}

// resolvePair reads the names and the conditions of a pairing; where one cannot be read
// the answer is a page that asks.
func (q *request) resolvePair(first, second string, then func(links.Pair) *reply) *reply {
	p, faults := links.ReadPair(first, second, q.query)
	a, b := q.Resolve(first), q.Resolve(second)
	if a.Found && b.Found && len(faults) == 0 {
		p.First, p.Second = a.Kind.ID, b.Kind.ID
		p.OneGroup()
		return then(p)
	}
	return q.askPair(first, second, a, b, faults)
}

func (q *request) askPair(first, second string, a, b answers.Named, faults []links.Fault) *reply {
	ask := q.asking("/pairings")
	skip := append(ask.wrong(q, faults), "first", "second")
	for i, n := range []answers.Named{a, b} {
		name, asked := []string{"first", "second"}[i], []string{first, second}[i]
		if n.Found {
			ask.Hidden = append(ask.Hidden, hidden{name, n.Kind.ID})
			continue
		}
		ask.name(q, name, asked, n, func(k answers.Kind) string { return k.ID })
	}
	ask.rest(q.query, skip...)
	return ask.reply(q)
}

// post is the kind of text that is asked for instead of a page: "markdown", "bbcode", or
// none.
func (q *request) post() string {
	switch format := q.query.Get("format"); {
	case format == "markdown" || format == "bbcode":
		return format
	case strings.HasPrefix(q.accept, markdownType):
		return "markdown"
	}
	return ""
}
