package localcli

import (
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
	o.title("What the fish put into the water (rough: typical, and least to most)")
	o.spread("fish", l.BodyMassG, "g")
	o.spread("dry food", l.FeedGPerDay, "g a day")
	o.spread("ammonia", l.AmmoniaGPerDay, "g nitrogen a day")
	if n := l.Nitrate; n != nil {
		o.spread("nitrate", n.WeeklyRiseMgL, "mg/L a week")
		h := n.ShareToHold
		o.line("  %s%s %% a week holds %s mg/L of nitrate (%s to %s %%)", pad("water change", 14),
			inSteps(h.Typical), number(n.CeilingMgL), inSteps(h.Low), inSteps(h.High))
	}
	if x := l.Oxygen; x != nil {
		o.spread("oxygen", x.Hours, "hours in a power cut")
	}
}

// leastChange is the least weekly change of water that anybody is told of, changeStep the steps in which it is told, in per cent:
// nobody measures it out more finely. Common practice, no source.
const leastChange, changeStep = 10, 5

// inSteps writes a share of the water as somebody changes it, in per cent.
func inSteps(share float64) string {
	return number(min(100, max(leastChange, changeStep*math.Ceil(share*100/changeStep))))
}

func (o *page) spread(name string, s gen.Spread, unit string) {
	o.line("  %s%s %s (%s to %s)", pad(name, 14), rough(s.Typical), unit, rough(s.Low), rough(s.High))
}

// rough writes an estimate with the two digits that it is good for.
func rough(x float64) string {
	if x <= 0 {
		return number(x)
	}
	two, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 2, 64), 64)
	return strconv.FormatFloat(two, 'f', -1, 64)
}
