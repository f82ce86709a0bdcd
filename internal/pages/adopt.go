package pages

import (
	"encoding/json"
	"net/url"

	"commensal/internal/pages/links"
	"commensal/internal/species"
	"commensal/internal/units"
)

type adoptPage struct {
	Link, Path          string
	Verdict, Sentence   string
	Share               []shareRow
	Tank, Water         field
	Choices             []choice
	Residents, Incoming field
	Assumed             []string
}

// adopt asks an adopter plain questions and ends in a link for the group.
func (q *request) adopt() *reply {
	if text := q.query.Get("for"); text != "" {
		l, faults := links.ReadList(text)
		l, ask := q.settle(l, faults, "/adopt")
		if ask != nil {
			return ask
		}
		return q.adoptPage(&l)
	}
	if len(q.query) == 0 {
		return q.adoptPage(&links.List{})
	}
	l, faults := readListForm(q.query)
	equip(&l.Tank, q.query)
	l, ask := q.settle(l, faults, "/adopt")
	if ask != nil {
		return ask
	}
	to := "/adopt?for=" + queryEscape(l.Link())
	for _, name := range equipment {
		if said := q.query.Get(name); said == "yes" || said == "no" {
			to += "&" + name + "=" + said
		}
	}
	return redirect(to)
}

// equipment are the questions whose answers are no part of a tank's link, in a fixed order: they come to its temperature and
// to the age of its filter.
var equipment = []string{"heater", "filter"}

// equip makes of a tank what it is without a heater, where nobody has measured it, and without a filter.
func equip(t *links.Tank, query url.Values) {
	if r := &t.Water[species.Temperature]; query.Get("heater") == "no" && !r.Known {
		r.Known, r.Value = true, units.RoomTemperatureC
	}
	if query.Get("filter") == "no" {
		t.Mature = new(bool)
	}
}

// ofEquipment says what was taken for granted of the equipment.
func (q *request) ofEquipment(t *links.Tank) (out []string) {
	if r := t.Water[species.Temperature]; q.query.Get("heater") == "no" && r.Known && r.Value == units.RoomTemperatureC {
		out = append(out, q.words.Say("adopt.no_heater", "temperature", units.RoomTemperatureC))
	}
	if q.query.Get("filter") == "no" {
		out = append(out, q.words.Say("adopt.no_filter"))
	}
	return out
}

func (q *request) adoptPage(l *links.List) *reply {
	asked := len(l.Residents)+len(l.Incoming) > 0
	body := adoptPage{Tank: q.tankField(&l.Tank), Water: q.waterFields(&l.Tank)[species.Temperature], Choices: q.habits(&l.Tank),
		Residents: q.listField("list", "form.adopt.residents", q.basket(l.Residents), 4),
		Incoming:  q.listField("incoming", "form.adopt.incoming", q.basket(l.Incoming), 4)}
	body.Tank.Label, body.Water.Label = q.words.Say("form.adopt.tank"), q.words.Say("form.adopt.water")
	f := frame{Title: q.words.Say("adopt.title"), Description: q.words.Say("adopt.description"), Here: "/adopt", NoIndex: asked, Body: &body}
	if !asked {
		f.Path = "/adopt"
		return q.page("adopt", f)
	}
	answer, err := q.List(*l)
	if err != nil {
		return q.missing()
	}
	card := q.listCard(&answer)
	body.Assumed = q.ofEquipment(&l.Tank)
	body.Path, body.Link, body.Verdict, body.Sentence = l.Path(), q.origin+l.Path(), card.Verdict, card.Sentence
	body.Share = []shareRow{{"link", q.words.Say("share.link"), body.Link, false}, {"import", q.words.Say("adopt.import"), checkBody(l), true}}
	return q.page("adopt", f)
}

// habits are the questions with yes and no, and the floor.
func (q *request) habits(t *links.Tank) []choice {
	yesNo := func(name, label string, v *bool) choice {
		c := choice{Name: name, Label: q.words.Say(label), Options: []option{{"", q.words.Say("form.unknown")}, {"yes", q.words.Say("form.yes")}, {"no", q.words.Say("form.no")}}}
		if v != nil && *v {
			c.Value = "yes"
		} else if v != nil {
			c.Value = "no"
		}
		return c
	}
	floor := choice{Name: "floor", Label: q.words.Say("form.adopt.floor"), Value: t.Floor, Options: []option{{"", q.words.Say("form.unknown")}}}
	for _, f := range []string{"sand", "gravel", "bare"} {
		floor.Options = append(floor.Options, option{f, q.words.Say("form.floor." + f)})
	}
	return []choice{yesNo("heater", "form.adopt.heater", q.said("heater")), yesNo("filter", "form.adopt.filter", q.said("filter")),
		yesNo("mature", "form.adopt.age", t.Mature), yesNo("lid", "form.adopt.lid", t.Lid),
		yesNo("planted", "form.adopt.plants", t.Planted), floor}
}

// said is what a question was answered with; nil for nothing.
func (q *request) said(name string) *bool {
	switch said := q.query.Get(name); said {
	case "yes", "no":
		yes := said == "yes"
		return &yes
	}
	return nil
}

// checkBody is the list as the body of POST /v1/checks.
func checkBody(l *links.List) string {
	type line struct {
		Species  string  `json:"species"`
		Count    int     `json:"count,omitempty"`
		Sex      string  `json:"sex,omitempty"`
		LengthCM float64 `json:"length_cm,omitempty"`
		Age      float64 `json:"age_months,omitempty"`
	}
	lines := func(list []links.Line) []line {
		out := make([]line, len(list))
		for i, l := range list {
			out[i] = line{l.Name, l.Count, l.Sex.String(), l.LengthCM, l.AgeMonths}
		}
		return out
	}
	body := struct {
		Tank      map[string]any `json:"tank,omitempty"`
		Residents []line         `json:"residents"`
		Incoming  []line         `json:"incoming,omitempty"`
	}{tankBody(&l.Tank), lines(l.Residents), lines(l.Incoming)}
	text, err := json.MarshalIndent(body, "", "  ")
	if err != nil {
		return "" // numbers in a link are finite, so this cannot be
	}
	return string(text)
}

// tankBody is a tank as a request carries it.
func tankBody(t *links.Tank) map[string]any {
	out := map[string]any{}
	if t.Sized() {
		out["size"] = t.Extent()
	} else if t.VolumeL > 0 {
		out["volume_l"] = t.VolumeL
	}
	for p, r := range t.Water {
		if r.Known {
			out[links.WaterField(species.Parameter(p))] = r.Value
		}
	}
	if t.Cover != nil {
		out["cover"] = *t.Cover
	}
	for name, v := range map[string]*bool{"lid": t.Lid, "filter_mature": t.Mature, "planted": t.Planted} {
		if v != nil {
			out[name] = *v
		}
	}
	if t.Floor != "" {
		out["substrate"] = t.Floor
	}
	return out
}
