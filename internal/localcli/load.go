package localcli

import (
	"fmt"
	"math"
	"strconv"

	"commensal/api/gen"
)

// load says what the fish of a list put into the water.
func (o *checkPage) load() {
	l := o.c.Load
	if l == nil {
		return
	}
	o.title("What the fish put into the water (typical, and its band)")
	o.spread("fish", l.BodyMassG, "g")
	o.spread("dry food", l.FeedGPerDay, "g a day")
	o.spread("ammonia", l.AmmoniaGPerDay, "g nitrogen a day")
	if n := l.Nitrate; n != nil {
		o.spread("nitrate", n.WeeklyRiseMgL, "mg/L a week")
		h := n.ShareToHold
		share := gen.Spread{Low: percent(h.Low), Typical: percent(h.Typical), High: percent(h.High)}
		o.spread("water change", share, fmt.Sprintf("%% a week to stay under %s mg/L", number(n.CeilingMgL)))
	}
	if x := l.Oxygen; x != nil {
		o.spread("oxygen", x.Hours, "hours if nothing is resupplied")
	}
}

// percent is a share in per cent with one decimal.
func percent(share float64) float64 { return math.Round(share*1000) / 10 }

func (o *page) spread(name string, s gen.Spread, unit string) {
	digits := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	o.line("  %s%s %s (%s to %s)", pad(name, 14), digits(s.Typical), unit, digits(s.Low), digits(s.High))
}
