package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"commensal/api/gen"
	"commensal/internal/units"
)

// levelMeaning is what a level means, said as the contract says it.
var levelMeaning = map[gen.Level]string{
	gen.Low:      "routinely kept together without trouble",
	gen.Moderate: "works with stated conditions",
	gen.High:     "usually ends badly",
	gen.Severe:   "should not be done",
}

// page lays an answer out as plain text for a screen of 80 columns.
type page struct {
	b  bytes.Buffer
	us bool
}

// writeAnswer writes one pairing for people: the answer in a sentence first, then what
// it rests on.
func writeAnswer(w io.Writer, p *gen.Pairing, us bool) error {
	out := &page{us: us}
	out.head(p)
	out.factors(p)
	out.water(p)
	out.remedies(p)
	out.reports(p)
	out.cautions(p)
	out.missing(p)
	out.foot(p)
	_, err := out.b.WriteTo(w)
	return err
}

func (o *page) line(format string, args ...any) { fmt.Fprintf(&o.b, format+"\n", args...) }

func (o *page) title(text string) { o.line("\n%s", text) }

// item writes a point of a list.
func (o *page) item(text string) { o.line("%s", wrap("  - ", "    ", text)) }

// field writes a named value.
func (o *page) field(name, text string) {
	o.line("%s", wrap(pad(name, 13), strings.Repeat(" ", 13), text))
}

func (o *page) head(p *gen.Pairing) {
	o.line("%s\n", wrap("", "", p.Summary))
	for i, name := range []string{"First", "Second"} {
		o.field(name, p.Species[i].VernacularName+" ("+p.Species[i].ScientificName+")")
	}
	o.field("Score", fmt.Sprintf("%.1f of 100: %s, %s", p.Score, p.Level, levelMeaning[p.Level]))
	o.field("Band", fmt.Sprintf("%.1f to %.1f, from the kinder to the harsher ends of what is known", p.Band[0], p.Band[1]))
	if p.MainReason != gen.MainReasonNone {
		o.field("Main reason", spaced(string(p.MainReason)))
	}
}

func (o *page) factors(p *gen.Pairing) {
	o.title("Why (the shares add up to the score)")
	for _, f := range p.Factors {
		lead := fmt.Sprintf("  %5.1f  %s", f.Share, pad(spaced(string(f.Factor)), 15))
		o.line("%s", wrap(lead, strings.Repeat(" ", runes(lead)), f.Summary))
	}
}

func (o *page) water(p *gen.Pairing) {
	o.title("Water for both")
	if p.SharedWater == nil {
		what := "water"
		if p.RuledOutBy != nil {
			what = parameterName[*p.RuledOutBy]
		}
		o.line("  None: no %s suits both.", what)
		return
	}
	o.rows(p.SharedWater)
}

// waterRows writes shared water under a title.
func (o *page) waterRows(title string, s *gen.SharedWater) {
	o.title(title)
	o.rows(s)
}

func (o *page) rows(s *gen.SharedWater) {
	for _, row := range []struct {
		parameter gen.WaterParameter
		value     *gen.SharedParameter
	}{{gen.TemperatureC, s.TemperatureC}, {gen.Ph, s.Ph}, {gen.GhDh, s.GhDh}, {gen.SalinityPpt, s.SalinityPpt}} {
		if row.value != nil {
			v := row.value
			o.line("  %s%s to %s, best near %s", pad(parameterName[row.parameter], 13),
				number(v.Tolerated.Low), o.quantity(row.parameter, v.Tolerated.High), o.quantity(row.parameter, v.Best))
		}
	}
}

var parameterName = map[gen.WaterParameter]string{
	gen.TemperatureC: "temperature", gen.Ph: "pH", gen.GhDh: "hardness", gen.SalinityPpt: "salinity",
}

// quantity writes a water value with its unit, and in US units where asked for.
func (o *page) quantity(parameter gen.WaterParameter, v float64) string {
	si, us := number(v), ""
	switch parameter {
	case gen.TemperatureC:
		si, us = units.FormatTemperature(v), units.FormatTemperatureUS(v)
	case gen.GhDh:
		si, us = units.FormatHardness(v), units.FormatHardnessUS(v)
	case gen.SalinityPpt:
		si, us = units.FormatSalinity(v), units.FormatSpecificGravity(v)
	}
	if o.us && us != "" {
		return si + " (" + us + ")"
	}
	return si
}

func (o *page) remedies(p *gen.Pairing) {
	if len(p.Remedies) == 0 {
		return
	}
	o.title("What would help")
	for _, r := range p.Remedies {
		if r.Check == nil {
			o.item(r.Summary)
			continue
		}
		o.item(fmt.Sprintf("%s (score %.1f)", r.Summary, r.Score))
	}
}

// reports writes what keepers saw; an answer made offline has none.
func (o *page) reports(p *gen.Pairing) {
	if p.Reports == nil {
		return
	}
	o.title("What keepers report, beside the score")
	o.item(p.Reports.Summary)
}

func (o *page) cautions(p *gen.Pairing) {
	if len(p.Cautions) == 0 {
		return
	}
	o.title("Cautions")
	names := map[string]string{}
	for _, s := range p.Species {
		names[s.Id] = s.VernacularName
	}
	for _, c := range p.Cautions {
		if c.Species != nil && names[*c.Species] != "" {
			o.item(names[*c.Species] + ": " + c.Text)
			continue
		}
		o.item(c.Text)
	}
}

func (o *page) missing(p *gen.Pairing) {
	if len(p.MissingTraits) == 0 {
		return
	}
	o.title("Not on record, so the band is wider")
	for _, m := range p.MissingTraits {
		o.item(m.Species + ": " + spaced(m.Trait))
	}
}

func (o *page) foot(p *gen.Pairing) {
	o.line("\n%s", wrap("", "", p.Conditions.Summary))
	catalogue := fmt.Sprintf("catalogue revision %d", p.CatalogueRevision)
	if p.CatalogueRevision == builtInRevision {
		catalogue = "built-in catalogue"
	}
	o.line("Model %s, %s, commensal %s", p.ModelVersion, catalogue, programVersion())
}

// spaced is a key of the contract as words.
func spaced(key string) string { return strings.ReplaceAll(key, "_", " ") }
