package localcli

import (
	"fmt"
	"io"
	"strings"

	"commensal/api/gen"
)

// levelMeaning is what a level means, said as the contract says it.
var levelMeaning = map[gen.Level]string{
	gen.Low:      "routinely kept together without trouble",
	gen.Moderate: "works with stated conditions",
	gen.High:     "usually ends badly",
	gen.Severe:   "should not be done",
}

// pairingPage lays out one pairing.
type pairingPage struct {
	page
	p *gen.Pairing
}

// WritePairing writes one pairing for people: the answer in a sentence first, then what it rests on.
func (l Layout) WritePairing(w io.Writer, p *gen.Pairing) error {
	o := &pairingPage{page{Layout: l}, p}
	o.head()
	o.factors()
	o.water()
	o.remedies()
	o.reports()
	if len(p.Cautions) > 0 {
		o.cautions(map[string]string{p.Species[0].Id: p.Species[0].VernacularName, p.Species[1].Id: p.Species[1].VernacularName}, p.Cautions)
	}
	o.missing()
	o.line("\n%s", o.wrap("", "", p.Conditions.Summary))
	o.foot(p.ModelVersion, p.CatalogueRevision)
	return o.writeTo(w)
}

func (o *pairingPage) head() {
	p := o.p
	o.line("%s\n", o.wrap("", "", p.Summary))
	for i, name := range []string{"First", "Second"} {
		o.field(name, p.Species[i].VernacularName+" ("+p.Species[i].ScientificName+")")
	}
	o.field("Score", fmt.Sprintf("%.1f of 100: %s, %s", p.Score, p.Level, levelMeaning[p.Level]))
	o.field("Band", fmt.Sprintf("%.1f to %.1f, where careful keepers put such a pair in 8 of 10 cases", p.Band[0], p.Band[1]))
	if p.MainReason != gen.MainReasonNone {
		o.field("Main reason", spaced(string(p.MainReason)))
	}
}

func (o *pairingPage) factors() {
	p := o.p
	o.title("Why (the shares add up to the score)")
	for _, f := range p.Factors {
		lead := fmt.Sprintf("  %5.1f  %s", f.Share, pad(spaced(string(f.Factor)), 15))
		o.line("%s", o.wrap(lead, strings.Repeat(" ", runes(lead)), f.Summary))
	}
}

func (o *pairingPage) water() {
	p := o.p
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

func (o *pairingPage) remedies() {
	p := o.p
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
func (o *pairingPage) reports() {
	p := o.p
	if p.Reports == nil {
		return
	}
	o.title("What keepers report, beside the score")
	o.item(p.Reports.Summary)
}

func (o *pairingPage) missing() {
	p := o.p
	if len(p.MissingTraits) == 0 {
		return
	}
	o.title("Not on record, so the band is wider")
	for _, m := range p.MissingTraits {
		o.item(m.Species + ": " + spaced(m.Trait))
	}
}
