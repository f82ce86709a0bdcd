package pages

import (
	"math"
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
	"commensal/internal/pages/pictures"
	"commensal/internal/pages/words"
	"commensal/internal/species"
)

type speciesPage struct {
	Heading, Scientific string
	Parent              *link
	Picture             *figure
	Glance              []labelled
	Note                string
	Cautions            []cautionRow
	Good, Poor          []link
	Counts, Own         string
	Form                pairForm
	Water               *figure
	Traits              []traitRow
	Sources             []species.Source
	Names               []nameRow
	Share               []shareRow
}

// labelled is a text with its label.
type labelled struct{ Label, Text string }

type traitRow struct{ Name, Meaning, Value, Range, Basis string }

type nameRow struct{ Label, Language, Text string }

// species answers one kind: the page, its card as a picture, or as text for a post.
func (q *request) species() *reply {
	name, ext := cutExt(q.value("species"))
	n := q.Resolve(name)
	if !n.Found {
		ask := q.asking("/species")
		ask.name(q, "q", name, n, func(k answers.Kind) string { return k.ID })
		return ask.reply(q)
	}
	s, _ := q.Species(n.Kind.ID)
	path := "/species/" + s.Kind.ID
	switch card := q.speciesCard(&s); {
	case ext != "":
		return q.picture(ext, &card, q.speciesDrawings(&s))
	case q.post() != "":
		return q.asPost(&card, path, pictureAt(path, "", "", ".png", 0))
	case name != s.Kind.ID || len(q.query) > 0:
		return redirect(path)
	}
	return q.speciesPage(&s)
}

func (q *request) speciesCard(s *answers.Species) pictures.Card {
	c := pictures.Card{Title: q.words.Say("picture.body", "kind", s.Kind.Name), Verdict: s.Kind.Name, Sentence: s.Kind.Scientific,
		Picture: q.speciesDrawings(s)["body"], Guidance: q.guidance(s.Cautions),
		More: q.words.Say("pair.care", "kind", s.Kind.Name) + ": " + q.origin + "/species/" + s.Kind.ID}
	var lines []string
	for _, g := range q.glance(s) {
		if len(lines) < 4 {
			lines = append(lines, g.Label+": "+g.Text+".")
		}
	}
	c.Kinds = strings.Join(lines, " ")
	return c
}

func (q *request) speciesDrawings(s *answers.Species) map[string]drawing {
	return map[string]drawing{
		"body":  func(w float64) *pictures.Scene { return pictures.Animal(q.words, &s.Body, w) },
		"water": func(w float64) *pictures.Scene { return pictures.Water(q.words, s.Scales, w) },
	}
}

func (q *request) speciesPage(s *answers.Species) *reply {
	path, draw := "/species/"+s.Kind.ID, q.speciesDrawings(s)
	body := speciesPage{Heading: s.Kind.Name, Scientific: s.Kind.Scientific, Glance: q.glance(s), Note: s.Note, Cautions: q.cautions(s.Cautions),
		Picture: q.figure(path, "", "body", draw["body"]), Own: "/pairings/" + s.Kind.ID + "/" + s.Kind.ID,
		Form: q.pairFormOf(&links.Pair{}, q.typed(s.Kind), ""), Traits: append(q.traitRows(s), q.waterRows(s)...), Sources: s.Sources, Names: q.nameRows(s)}
	if s.Parent != nil {
		body.Parent = &link{"/species/" + s.Parent.ID, q.words.Say("species.form", "parent", s.Parent.Name)}
	}
	if len(s.Scales) > 0 {
		body.Water = q.figure(path, "", "water", draw["water"])
	}
	q.company(&body, s)
	card, preview := q.speciesCard(s), pictureAt(path, "", "", ".png", 0)
	body.Share = q.shareRows(&card, path, "/embed"+path, preview)
	title := s.Kind.Name
	if s.Kind.Name != s.Kind.Scientific {
		title = q.words.Say("species.title", "name", s.Kind.Name, "scientific", s.Kind.Scientific)
	}
	return q.page("species", frame{Title: title, Path: path, Here: "/species", Body: &body, Embeddable: true, ImagePath: preview,
		Description: q.words.Say("species.description", "name", s.Kind.Name, "scientific", s.Kind.Scientific)})
}

func (q *request) company(body *speciesPage, s *answers.Species) {
	c, _ := q.Company(s.Kind.ID)
	row := func(n answers.Neighbour) link {
		return link{"/pairings/" + s.Kind.ID + "/" + n.Kind.ID, n.Kind.Name + ": " + q.words.Say("level."+n.Level) + ", " + rounded(n.Score)}
	}
	for _, n := range c.Good {
		body.Good = append(body.Good, row(n))
	}
	for _, n := range c.Poor {
		body.Poor = append(body.Poor, row(n))
	}
	total := 0
	for _, n := range c.Counts {
		total += n
	}
	body.Counts = q.words.Say("species.counts", "total", total, "low", c.Counts[conflict.Low], "moderate", c.Counts[conflict.Moderate],
		"high", c.Counts[conflict.High], "severe", c.Counts[conflict.Severe])
}

// glance is care in a few lines.
func (q *request) glance(s *answers.Species) []labelled {
	var out []labelled
	add := func(key, text string) {
		if text != "" {
			out = append(out, labelled{q.words.Say(key), text})
		}
	}
	add("species.size", q.band("species.lengths", s.Length))
	add("species.group", q.group(s))
	add("species.tank", q.leastTank(s))
	add("species.water", q.water(s))
	add("species.temper", q.temper(s))
	add("species.level", q.words.Say("zone."+plain(float64(s.Body.Zone()))))
	add("species.food", q.words.SayOr("guild."+s.Guild, s.Guild))
	add("species.life", q.band("species.years", s.Life))
	add("species.needs", q.needs(s))
	add("species.family", s.Family)
	return out
}

func (q *request) band(key string, b species.Band) string {
	if b.High <= 0 {
		return ""
	}
	return q.words.Say(key, "low", short(b.Low), "typical", short(b.Typical), "high", short(b.High))
}

func (q *request) group(s *answers.Species) string {
	social := q.words.SayOr("social."+s.Social, s.Social)
	if s.Group.Low < 2 {
		return q.words.Say("group.alone", "social", social)
	}
	return q.words.Say("group.of", "social", social, "low", short(s.Group.Low), "typical", short(s.Group.Typical))
}

func (q *request) leastTank(s *answers.Species) string {
	if s.Tank[0] <= 0 {
		return ""
	}
	return q.words.Say("species.least", "length", short(s.Tank[0]), "width", short(s.Tank[1]))
}

// water is what it prefers, in both units where there are two.
func (q *request) water(s *answers.Species) string {
	var parts []string
	for i := range s.Scales {
		p, preferred := s.Scales[i].Parameter, s.Scales[i].Bars[0].Preferred
		if p != species.Salinity || preferred.High > 0 {
			parts = append(parts, water(p, preferred))
		}
	}
	return strings.Join(parts, ", ")
}

func (q *request) temper(s *answers.Species) string {
	var parts []string
	if s.Temper != "" {
		parts = append(parts, q.words.SayOr("temper."+s.Temper, s.Temper))
	}
	if s.Nips {
		parts = append(parts, q.words.Say("species.nips"))
	}
	if s.Jumps {
		parts = append(parts, q.words.Say("species.jumps"))
	}
	return strings.Join(parts, ", ")
}

func (q *request) needs(s *answers.Species) string {
	parts := make([]string, len(s.Needs))
	for i, n := range s.Needs {
		parts[i] = q.words.SayOr("need."+n, strings.ReplaceAll(n, "_", " "))
	}
	return strings.Join(parts, ", ")
}

func (q *request) traitRows(s *answers.Species) []traitRow {
	out := make([]traitRow, len(s.Traits))
	for i, t := range s.Traits {
		row := traitRow{Name: q.words.SayOr("trait."+t.Key, t.Key), Meaning: t.Meaning, Basis: q.basis(t.Basis, t.Citation, t.Agrees),
			Value: strings.TrimSpace(short(t.Typical) + " " + q.words.SayOr("unit."+t.Unit, t.Unit)),
			Range: q.words.Say("to", "low", short(t.Low), "high", short(t.High))}
		if t.Sex != species.Unsexed {
			row.Name += ", " + q.words.Say("sex."+t.Sex.String())
			row.Meaning = ""
		}
		out[i] = row
	}
	return out
}

func (q *request) waterRows(s *answers.Species) []traitRow {
	out := make([]traitRow, len(s.Waters))
	for i := range s.Waters {
		w := &s.Waters[i]
		out[i] = traitRow{Name: q.words.Say("Parameter." + w.Parameter.Info().Key), Meaning: q.words.Say("species.waters"),
			Value: water(w.Parameter, w.Preferred), Range: water(w.Parameter, w.Tolerated), Basis: q.basis(w.Basis, w.Citation, w.Agrees)}
	}
	return out
}

// water writes a range of a parameter, in both units where there are two.
func water(p species.Parameter, r species.Range) string {
	text := pictures.Range(p, r)
	if p == species.Temperature {
		text += " (" + pictures.Fahrenheit(r) + ")"
	}
	return text
}

// basis says what a value rests on, and which sources agree with it.
func (q *request) basis(basis, citation string, agrees []string) string {
	text := citation
	if text == "" {
		text = q.words.SayOr("species.basis."+basis, basis)
	}
	if len(agrees) > 0 {
		text = q.words.Say("species.agrees", "basis", text, "sources", strings.Join(agrees, ", "))
	}
	return text
}

func (q *request) nameRows(s *answers.Species) []nameRow {
	var out []nameRow
	for _, n := range s.Names {
		if k := len(out) - 1; k >= 0 && out[k].Language == n.Language {
			out[k].Text += ", " + n.Text
			continue
		}
		out = append(out, nameRow{q.words.SayOr("language."+n.Language, n.Language), n.Language, n.Text})
	}
	if len(s.Synonyms) > 0 {
		out = append(out, nameRow{q.words.Say("species.names.other"), "la", strings.Join(s.Synonyms, ", ")})
	}
	return out
}

// short writes a number with at most two digits behind the point.
func short(x float64) string { return words.Number(math.Round(x*100) / 100) }
