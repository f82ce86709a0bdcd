package pages

import (
	"math"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
	"commensal/internal/pages/pictures"
)

// cardView is a card in a page.
type cardView struct {
	ID, Verdict, Sentence, Kinds, Level, Change, Guidance, More, MorePath string
	Picture                                                               *figure
	Outside                                                               bool // in a frame: links open outside it
}

type pairPage struct {
	Heading    string
	Card       cardView
	Why        *figure
	Reasons    []reasonRow
	Rest, Sure string
	Changes    []link
	Water      *figure
	NoWater    string
	Growth     *figure
	GrowthLead string
	Cautions   []cautionRow
	Assumed    []string
	Form       pairForm
	Links      []link
	Share      []shareRow
}

type reasonRow struct{ Key, Name, Points, Sentence string }

// pairPage renders the page of one pairing.
func (q *request) pairPage(p *answers.Pairing) *reply {
	draw := q.pairDrawings(p)
	path, query := p.Asked.Bare(), p.Asked.Query()
	body := pairPage{
		Heading:  q.pairTitle(p),
		Card:     q.pairCardView(p),
		Why:      q.figure(path, query, "why", draw["why"]),
		Sure:     q.words.Say("pair.sure", "low", rounded(p.Low), "high", rounded(p.High)),
		Cautions: q.cautions(p.Cautions), Assumed: q.assumed(p),
		Form: q.pairFormOf(&p.Asked, q.typed(p.Kinds[0]), q.typed(p.Kinds[1])),
	}
	body.Form.Open = p.Asked.Query() != ""
	q.pairReasons(&body, p)
	q.pairChanges(&body, p)
	if len(p.Scales) > 0 {
		body.Water = q.figure(path, query, "water", draw["water"])
	}
	if p.RuledOut != "" {
		body.NoWater = q.words.Say("pair.no_water", "parameter", q.words.Say("parameter."+p.RuledOut))
	}
	if g := q.PairGrowth(p.Asked); g != nil {
		body.Growth = q.figure(path, query, "growth", func(w float64) *pictures.Scene { return pictures.Growth(q.words, g, w) })
		body.GrowthLead = q.growthLead(g)
	}
	for _, k := range distinctKinds(p) {
		body.Links = append(body.Links, link{"/species/" + k.ID, q.words.Say("pair.care", "kind", k.Name)})
	}
	card := q.pairCard(p)
	body.Share = q.shareRows(&card, p.Asked.Path(), "/embed/pairings/"+p.Asked.Rest(), pictureAt(path, query, "", ".png", 0))
	return q.page("pair", frame{Title: body.Heading, Path: p.Asked.Path(), Here: "/", Body: &body, Embeddable: true,
		ImagePath: pictureAt(path, query, "", ".png", 0), Description: q.words.Say("pair.description",
			"verdict", body.Card.Verdict, "sentence", p.Sentence, "level", q.words.Say("level."+p.Level), "score", rounded(p.Score))})
}

func (q *request) pairTitle(p *answers.Pairing) string {
	if p.Kinds[0] == p.Kinds[1] {
		return q.words.Say("pair.own.title", "first", p.Kinds[0].Name)
	}
	return q.words.Say("pair.title", "first", p.Kinds[0].Name, "second", p.Kinds[1].Name)
}

func (q *request) growthLead(g *answers.Growth) string {
	if g.FromAge > 0 {
		return q.words.Say("pair.growth.lead")
	}
	return q.words.Say("pair.growth.told")
}

func distinctKinds(p *answers.Pairing) []answers.Kind {
	if p.Kinds[0] == p.Kinds[1] {
		return p.Kinds[:1]
	}
	return p.Kinds[:]
}

// pairCardView is the card as it stands on the page.
func (q *request) pairCardView(p *answers.Pairing) cardView {
	c := q.pairCard(p)
	return cardView{ID: "answer", Verdict: c.Verdict, Sentence: c.Sentence, Kinds: c.Kinds, Level: c.Level, Change: c.Change,
		Guidance: c.Guidance, More: q.words.Say("pair.more"), MorePath: "#why",
		Picture: q.figureFrom(cardWidth, p.Asked.Bare(), p.Asked.Query(), "reason", c.Picture)}
}

func (q *request) pairReasons(body *pairPage, p *answers.Pairing) {
	shown := 0.0
	for _, f := range pictures.MainFactors(p) {
		shown += f.Share
		body.Reasons = append(body.Reasons, reasonRow{f.Key, q.words.Say("reason." + f.Key), q.words.Say("pair.share", "share", points(f.Share)), f.Sentence})
	}
	if rest := math.Round((p.Score-shown)*10) / 10; rest != 0 || len(body.Reasons) == 0 {
		body.Rest = q.words.Say("pair.why.rest", "share", q.words.Say("pair.share", "share", points(rest)))
	}
}

func (q *request) pairChanges(body *pairPage, p *answers.Pairing) {
	for _, r := range p.Remedies {
		l := link{Label: r.Sentence}
		if r.Asked != nil {
			l.Path = r.Asked.Path()
		}
		body.Changes = append(body.Changes, l)
	}
}

// assumed says what the answer takes for granted.
func (q *request) assumed(p *answers.Pairing) []string {
	fish := "pair.assumed.customary"
	if p.Asked.Fish != [2]links.Fish{} {
		fish = "pair.assumed.told"
	}
	out := []string{q.words.Say("pair.assumed.fish", "fish", q.words.Say(fish)) + " " + q.pairKinds(p) + ", " + q.pairTank(p) + "."}
	if !p.Asked.Tank.Sized() && p.Asked.Tank.VolumeL > 0 {
		out = append(out, q.words.Say("pair.assumed.volume", "tank", sidesOf(&p.Tank)))
	}
	if p.Tank.ReferenceCover {
		out = append(out, q.words.Say("pair.assumed.cover.usual"))
	} else {
		out = append(out, q.words.Say("pair.assumed.cover", "cover", rounded(100*p.Tank.Cover)))
	}
	switch {
	case p.Tank.Readings == 0:
		out = append(out, q.words.Say("pair.assumed.water"))
	case p.Tank.Readings < len(p.Asked.Tank.Water):
		out = append(out, q.words.Say("pair.assumed.some"))
	}
	if len(p.Missing) > 0 {
		names := make([]string, len(p.Missing))
		for i, key := range p.Missing {
			names[i] = q.words.SayOr("trait."+key, q.words.SayOr("parameter."+key, key))
		}
		out = append(out, q.words.Say("pair.missing", "traits", q.words.Join(names)))
	}
	return out
}
