package pages

import (
	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
	"commensal/internal/pages/pictures"
)

// listAsked takes the form of a list to its page, or asks which kinds were meant.
func (q *request) listAsked() *reply {
	l, faults := readListForm(q.query)
	l, ask := q.settle(l, faults, "/lists")
	if ask != nil {
		return ask
	}
	return q.toList(&l)
}

// toList leads to the page of a list, unless its link would be too long.
func (q *request) toList(l *links.List) *reply {
	if len(l.Link()) > links.MaxLink || len(l.Residents)+len(l.Incoming) > links.MaxLines {
		_, ask := q.settle(*l, []links.Fault{links.TooLong("")}, "/lists")
		return ask
	}
	return redirect(l.Path())
}

// readLink reads a list out of a link, with its names resolved.
func (q *request) readLink(text string) (links.List, *reply) {
	l, faults := links.ReadList(text)
	return q.settle(l, faults, "/lists")
}

// list answers a list: the page, its card as a picture, or as text for a post.
func (q *request) list() *reply {
	text, ext := cutExt(q.value("list"))
	l, ask := q.readLink(text)
	if ask != nil {
		return ask
	}
	answer, err := q.List(l)
	if err != nil {
		return q.missing()
	}
	switch card := q.listCard(&answer); {
	case ext != "":
		return q.picture(ext, &card, q.listDrawings(&answer))
	case q.post() != "":
		return q.asPost(&card, l.Path(), pictureAt(l.Path(), "", "", ".png", 0))
	case text != l.Link() || len(q.query) > 0:
		return q.toList(&l)
	}
	return q.listPage(&answer)
}

// listCard is the card of a list.
func (q *request) listCard(l *answers.List) pictures.Card {
	c := pictures.Card{
		Title:    q.words.Say("picture.card.list", "count", len(l.Lines), "verdict", q.words.Say("verdict."+l.Decision)),
		Verdict:  q.words.Say("verdict." + l.Decision),
		Sentence: withoutLead(l.Summary),
		Kinds:    q.listKinds(l),
		Picture:  q.listDrawings(l)["scale"],
		Guidance: q.guidance(l.Cautions),
		More:     q.words.Say("pair.more") + ": " + q.origin + l.Asked.Path(),
	}
	if len(l.Offers) > 0 {
		c.Change = q.offer(&l.Offers[0])
	}
	return c
}

func (q *request) listDrawings(l *answers.List) map[string]drawing {
	return map[string]drawing{
		"scale":  func(w float64) *pictures.Scene { return pictures.Tank(q.words, l, w) },
		"water":  func(w float64) *pictures.Scene { return pictures.Water(q.words, l.Scales, w) },
		"growth": func(w float64) *pictures.Scene { return pictures.Growth(q.words, q.ListGrowth(l.Asked), w) },
	}
}
