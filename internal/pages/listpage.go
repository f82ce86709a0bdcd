package pages

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
	"commensal/internal/pages/pictures"
	"commensal/internal/species"
	"commensal/internal/units"
)

type listPage struct {
	Heading           string
	Card              cardView
	Gravest, Others   []problemRow
	OthersLabel       string
	Ask, Fixes, Leave []string
	Scale, Water      *figure
	Growth            *figure
	GrowthLead        string
	Lines             []link
	Pairs             []pairRow
	PairsMore         string
	Cautions          []cautionRow
	Assumed           []string
	Form              listForm
	Share             []shareRow
}

type problemRow struct {
	Severity, Sentence, Remedy, Code, Title string
	Path, Both                              string
}

type pairRow struct{ Path, Both, Level, Score, Sentence string }

// The most that a page of a list shows: past these a page would grow past what a phone
// should load.
const (
	gravest      = 3
	maxProblems  = 16
	maxPairRows  = 16
	maxListWords = 400
	maxExplained = 4 // kinds to leave out, each with its reason
)

// listPage renders the page of a list.
func (q *request) listPage(l *answers.List) *reply {
	draw, path := q.listDrawings(l), l.Asked.Path()
	body := listPage{
		Heading: q.listTitle(l), Card: q.listCardView(l), Ask: l.Ask, Fixes: q.fixes(l), Leave: q.leave(l), Cautions: q.cautions(l.Cautions), Assumed: l.Assumed,
		Scale: q.figure(path, "", "scale", draw["scale"]),
		Form:  q.listFormOf(&l.Asked.Tank, q.basket(l.Asked.Residents), q.basket(l.Asked.Incoming)),
	}
	body.Form.Open = l.Asked.Tank.Water != links.Water{} || len(l.Asked.Incoming) > 0
	q.problems(&body, l)
	q.pairs(&body, l)
	for i := range l.Lines {
		body.Lines = append(body.Lines, link{"/species/" + l.Lines[i].Kind.ID, q.line(&l.Lines[i])})
	}
	if len(l.Scales) > 0 {
		body.Water = q.figure(path, "", "water", draw["water"])
	}
	if g := q.ListGrowth(l.Asked); g != nil {
		body.Growth = q.figure(path, "", "growth", func(w float64) *pictures.Scene { return pictures.Growth(q.words, g, w) })
		body.GrowthLead = q.growthLead(g)
	}
	card, preview := q.listCard(l), pictureAt(path, "", "", ".png", 0)
	body.Share = q.shareRows(&card, path, "/embed"+path, preview)
	return q.page("list", frame{Title: body.Heading, Path: path, Here: "/", Body: &body, Embeddable: true, ImagePath: preview,
		Description: q.words.Say("list.description", "verdict", card.Verdict, "summary", card.Sentence)})
}

func (q *request) listTitle(l *answers.List) string {
	kinds := map[string]bool{}
	for i := range l.Lines {
		kinds[l.Lines[i].Kind.ID] = true
	}
	if len(kinds) == 1 {
		return q.words.Say("list.title.one", "kind", l.Lines[0].Kind.Name)
	}
	return q.words.Say("list.title", "count", len(kinds))
}

func (q *request) listCardView(l *answers.List) cardView {
	c := q.listCard(l)
	return cardView{ID: "answer", Verdict: c.Verdict, Sentence: c.Sentence, Kinds: c.Kinds, Change: c.Change, Guidance: c.Guidance,
		More: q.words.Say("pair.more"), MorePath: "#against"}
}

// withoutLead drops the decision from a summary, where the verdict already says it.
func withoutLead(summary string) string {
	if _, rest, ok := strings.Cut(summary, ": "); ok {
		r, size := utf8.DecodeRuneInString(rest)
		if strings.HasPrefix(rest, "pH") {
			return rest
		}
		return string(unicode.ToUpper(r)) + rest[size:]
	}
	return summary
}

// listKinds names everybody on the list, and the tank.
func (q *request) listKinds(l *answers.List) string {
	names := make([]string, len(l.Lines))
	for i := range l.Lines {
		names[i] = q.line(&l.Lines[i])
	}
	return cutWords(q.words.Join(names), maxListWords) + ". " + q.tankOf(l)
}

// cutWords shortens a text at a comma to at most n bytes.
func cutWords(s string, n int) string {
	if len(s) <= n {
		return s
	}
	if i := strings.LastIndex(s[:n], ","); i > 0 {
		return s[:i] + " …"
	}
	return strings.ToValidUTF8(s[:n], "") + "…"
}

func (q *request) line(l *answers.Line) string {
	out := times(l.Count, l.Kind.Name)
	var notes []string
	if l.Sex != species.Unsexed {
		notes = append(notes, q.words.Say("sex."+l.Sex.String()))
	}
	if l.LengthCM > 0 {
		notes = append(notes, units.FormatLength(l.LengthCM))
	}
	if !l.Told {
		notes = append(notes, q.words.Say("list.usual"))
	}
	if l.Incoming {
		notes = append(notes, q.words.Say("list.joining"))
	}
	if len(notes) > 0 {
		out += " (" + strings.Join(notes, ", ") + ")"
	}
	return out
}

func (q *request) tankOf(l *answers.List) string {
	switch {
	case l.Tank != nil:
		return q.words.Say("list.tank", "tank", sidesOf(l.Tank))
	case l.VolumeL > 0:
		return q.words.Say("list.tank", "tank", units.FormatVolume(l.VolumeL))
	}
	return q.words.Say("list.tank.none")
}

// problems shows the gravest, and folds the others away.
func (q *request) problems(body *listPage, l *answers.List) {
	for i := range l.Problems[:min(len(l.Problems), maxProblems)] {
		p := &l.Problems[i]
		row := problemRow{Severity: p.Severity, Sentence: p.Sentence, Remedy: p.Remedy, Code: p.Code, Title: q.words.SayOr("reason."+p.Code, "")}
		if p.Existing {
			row.Sentence = q.words.Say("list.existing", "sentence", p.Sentence)
		}
		if p.Pair != nil {
			row.Path, row.Both = p.Pair.Path(), q.both(p.Kinds)
		}
		if len(body.Gravest) < gravest && p.Severity != "note" {
			body.Gravest = append(body.Gravest, row)
		} else {
			body.Others = append(body.Others, row)
		}
	}
	body.OthersLabel = q.words.Count("list.more", len(body.Others))
}

// both names the kinds of a pair.
func (q *request) both(kinds []answers.Kind) string {
	if len(kinds) == 1 {
		return q.words.Say("pair.own.title", "first", kinds[0].Name)
	}
	return q.words.Say("list.pair", "first", kinds[0].Name, "second", kinds[1].Name)
}

func (q *request) pairs(body *listPage, l *answers.List) {
	for i := range l.Pairs[:min(len(l.Pairs), maxPairRows)] {
		p := &l.Pairs[i]
		kinds := []answers.Kind{l.Lines[p.First].Kind}
		if p.First != p.Second {
			kinds = append(kinds, l.Lines[p.Second].Kind)
		}
		body.Pairs = append(body.Pairs, pairRow{p.Asked.Path(), q.both(kinds), q.words.Say("level." + p.Level), rounded(p.Score), p.Sentence})
	}
	if more := len(l.Pairs) - len(body.Pairs); more > 0 {
		body.PairsMore = q.words.Say("list.pairs.more", "count", more)
	}
}

func (q *request) fixes(l *answers.List) []string {
	var out []string
	for i := range l.Offers {
		out = append(out, q.offer(&l.Offers[i]))
	}
	if l.NoOffer != "" && l.Decision != "proceed" {
		out = append(out, l.NoOffer)
	}
	return out
}

// offer says one way to mend a list and what it leads to.
func (q *request) offer(o *answers.Offer) string {
	return strings.Join(o.Sentences, " ") + " " + q.words.Say("list.fix.leads", "decision", q.words.Say("decision."+o.Decision))
}

func (q *request) leave(l *answers.List) []string {
	var out []string
	for _, set := range l.LeaveOut {
		parts := make([]string, len(set))
		for i, left := range set {
			parts[i] = left.Kind.Name
			if len(set) <= maxExplained {
				parts[i] += ": " + left.Reason
			}
		}
		if len(set) > maxExplained {
			out = append(out, q.words.Join(parts)+".")
			break // of long sets one is enough
		}
		out = append(out, strings.Join(parts, " "))
	}
	return out
}

// basket writes lines as a person types them, by the names shown.
func (q *request) basket(lines []links.Line) string {
	out := make([]string, len(lines))
	for i, l := range lines {
		if n := q.Resolve(l.Name); n.Found {
			l.Name = q.typed(n.Kind)
		}
		out[i] = l.Text()
	}
	return strings.Join(out, "\n")
}

// typed is a name of the kind that leads back to it: the one shown, else the scientific
// one, else the id.
func (q *request) typed(k answers.Kind) string {
	for _, name := range []string{k.Name, k.Scientific} {
		if n := q.Resolve(name); n.Found && n.Kind.ID == k.ID {
			return name
		}
	}
	return k.ID
}
