package lists_test

import (
	"math"
	"net/http"
	"slices"
	"strings"
	"testing"

	"commensal/api/gen"

	"pgregory.net/rapid"
)

// home is a tank that may take fish.
type home struct {
	Tank      basin  `json:"tank,omitempty"`
	Residents []fish `json:"residents,omitempty"`
	Wishes    *wish  `json:"wishes,omitempty"`
}

type wish struct {
	Wanted    []string `json:"wanted,omitempty"`
	NotWanted []string `json:"not_wanted,omitempty"`
	AtMost    int      `json:"at_most,omitempty"`
}

// placing is the body of a request for placements.
type placing struct {
	Incoming []fish  `json:"incoming"`
	Together [][]int `json:"together,omitempty"`
	Tanks    []home  `json:"tanks"`
	OneEach  bool    `json:"one_each,omitempty"`
	Wanted   string  `json:"wanted_level,omitempty"`
	Region   string  `json:"region,omitempty"`
}

func (c *claim) placing() placing {
	in := placing{Incoming: unlike(c.lines(1, 3)), OneEach: rapid.IntRange(0, 4).Draw(c.T, "one each") == 0, Wanted: c.wanted(), Region: c.region()}
	for i := range in.Incoming {
		in.Incoming[i].Weight = float64(rapid.IntRange(1, 2).Draw(c.T, "weight"))
	}
	if len(in.Incoming) > 1 && rapid.IntRange(0, 3).Draw(c.T, "bound") == 0 {
		in.Together = [][]int{{0, len(in.Incoming) - 1}}
	}
	for range rapid.IntRange(1, 3).Draw(c.T, "homes") {
		h := home{Tank: c.tank()}
		if rapid.Bool().Draw(c.T, "large") {
			h.Tank = basin{"size": rapid.SampledFrom([]string{"120x50x50cm", "200x70x60cm"}).Draw(c.T, "home")}
		}
		if rapid.Bool().Draw(c.T, "lived in") {
			h.Residents = unlike(c.lines(1, 2))
		}
		if rapid.IntRange(0, 3).Draw(c.T, "wishes") == 0 {
			h.Wishes = &wish{}
			names := []string{"neocaridina-davidi"}
			for _, f := range in.Incoming {
				names = append(names, f.Species)
			}
			switch rapid.IntRange(0, 2).Draw(c.T, "wish") {
			case 0:
				h.Wishes.Wanted = []string{rapid.SampledFrom(names).Draw(c.T, "would like")}
			case 1:
				h.Wishes.NotWanted = []string{rapid.SampledFrom(names).Draw(c.T, "would not")}
			case 2:
				h.Wishes.AtMost = rapid.IntRange(1, 15).Draw(c.T, "at most")
			}
		}
		in.Tanks = append(in.Tanks, h)
	}
	return in
}

// together are the positions that go to one tank: those that the request binds, and shoals.
func (c *claim) together(in *placing) (out [][]int) {
	out = c.units(in.Incoming)
	for _, bound := range in.Together {
		var joined []int
		out = slices.DeleteFunc(out, func(unit []int) bool {
			meets := slices.ContainsFunc(unit, func(i int) bool { return slices.Contains(bound, i) })
			if meets {
				joined = append(joined, unit...)
			}
			return meets
		})
		slices.Sort(joined)
		out = append(out, joined)
	}
	return out
}

// inHome is the check of a tank with what it would get.
func inHome(in *placing, at int, joins []fish) basket {
	h := in.Tanks[at]
	return basket{Tank: h.Tank, Residents: h.Residents, Incoming: joins, Wanted: in.Wanted, Region: in.Region}
}

// rounding is how far a sum of told scores may be from the sum of the scores.
const rounding = 1.0

// span is what harm comes to at least and at most: a check merges like pieces of advice about several
// lines, and harm counts them apart.
type span struct{ least, most float64 }

func (s span) plus(o span) span { return span{s.least + o.least, s.most + o.most} }

// impossible is the harm of what cannot be.
var impossible = span{math.Inf(1), math.Inf(1)}

// harmIn is the harm of some units in a tank, reckoned from checks.
func (c *claim) harmIn(in *placing, units [][]int, at, picked int) (harm span) {
	joins, n := of(in.Incoming, units, picked)
	switch {
	case n == 0:
		return harm
	case in.OneEach && n > 1, c.refuses(in, at, joins), len(in.Tanks[at].Residents) > 0 && c.check(inHome(in, at, nil)).TankDecision == gen.Hold:
		return impossible
	}
	then := c.check(inHome(in, at, joins))
	if then.Decision == gen.Hold || then.TankDecision == gen.Hold {
		return impossible
	}
	for _, p := range then.Pairings {
		if then.Lines[p.Lines[0]].Incoming || then.Lines[p.Lines[1]].Incoming {
			harm = harm.plus(span{p.Score, p.Score})
		}
	}
	for u := range units {
		if one, _ := of(in.Incoming, units, picked&(1<<u)); len(one) > 0 {
			harm = harm.plus(c.adviceIn(in, at, one))
			for _, f := range one {
				harm = harm.plus(span{unasked(in, at, f), unasked(in, at, f)})
			}
		}
	}
	return harm
}

// adviceIn is the part of harm that stands for advice which fish by themselves bring to a tank.
func (c *claim) adviceIn(in *placing, at int, one []fish) (advice span) {
	then := c.check(inHome(in, at, one))
	if then.Decision == gen.Hold || then.TankDecision == gen.Hold || c.refuses(in, at, one) {
		return impossible
	}
	var before []gen.Finding
	if len(in.Tanks[at].Residents) > 0 {
		before = c.check(inHome(in, at, nil)).Findings
	}
	for _, f := range then.Findings {
		if n := float64(newOf(before, f)); f.Severity == "advice" && !isPairing(f.Code) && n > 0 {
			most := 10 * max(n, float64(len(f.Lines)))
			if strings.HasSuffix(string(f.Code), "_conflict") { // of months to come, which harm may leave aside
				advice = advice.plus(span{0, most})
				continue
			}
			advice = advice.plus(span{10, most})
		}
	}
	return advice
}

// newOf is of how many kinds a finding was not made before; one for the tank.
func newOf(before []gen.Finding, f gen.Finding) (n int) {
	had := func(kind string) bool {
		return slices.ContainsFunc(before, func(o gen.Finding) bool {
			return o.Code == f.Code && o.Severity == f.Severity && (kind == "" || slices.Contains(o.Species, kind))
		})
	}
	for _, kind := range f.Species {
		if !had(kind) {
			n++
		}
	}
	if len(f.Species) == 0 && !had("") {
		n = 1
	}
	return n
}

// isPairing reports the findings that are made from pairings: harm counts their scores.
func isPairing(code gen.FindingCode) bool {
	return slices.Contains([]gen.FindingCode{"predation", "aggression", "fin_nipping", "water_differs", "feeding_clash", "own_kind", "hybridisation", "too_little_room"}, code)
}

func (c *claim) refuses(in *placing, at int, joins []fish) bool {
	w := in.Tanks[at].Wishes
	if w == nil {
		return false
	}
	all := 0
	for _, l := range c.check(basket{Residents: joins}).Lines {
		all += l.Count
	}
	return w.AtMost > 0 && all > w.AtMost || slices.ContainsFunc(joins, func(f fish) bool { return slices.Contains(w.NotWanted, f.Species) })
}

func unasked(in *placing, at int, f fish) float64 {
	asks := func(h home) bool { return h.Wishes != nil && slices.Contains(h.Wishes.Wanted, f.Species) }
	if slices.ContainsFunc(in.Tanks, asks) && !asks(in.Tanks[at]) {
		return 5
	}
	return 0
}

// No assignment of all arrivals to all tanks loses less than the one told as optimal, or less than the
// bound; of those that lose as little none does less harm. What is told of each tank is what its check says.
func TestClaimsNoPlacementIsBetter(t *testing.T) {
	claims(t, 25, func(c *claim) {
		in := c.placing()
		p := answered[gen.Placements](c, http.MethodPost, "/v1/placements", in)
		for _, tank := range p.Tanks {
			c.placedAsTold(&in, tank)
		}
		units := c.together(&in)
		lost, harm := c.bestPlacement(&in, units)
		if p.Lost < lost-1e-6 || p.LostBound > lost+1e-6 || p.Optimal && p.Lost > lost+1e-6 {
			c.Fatalf("%v lost of at least %v (optimal %v); of all ways the least is %v\n%s", p.Lost, p.LostBound, p.Optimal, lost, text(in))
		}
		if p.Lost < lost+1e-6 && (p.Optimal && p.Harm > harm.most+rounding || p.HarmBound > harm.most+rounding || p.Harm < harm.least-rounding) {
			c.Fatalf("harm %v of at least %v (optimal %v); of all ways the least is %v\n%s\n%s", p.Harm, p.HarmBound, p.Optimal, harm, text(in), text(p.Tanks))
		}
	})
}

func (c *claim) placedAsTold(in *placing, tank gen.PlacedTank) {
	var joins []fish
	for _, i := range tank.Lines {
		joins = append(joins, in.Incoming[i])
	}
	b := inHome(in, tank.Tank, joins)
	then := c.check(b)
	if then.Decision != tank.Decision || then.Summary != tank.Summary || then.Decision == gen.Hold || then.TankDecision == gen.Hold {
		c.Fatalf("a tank is told as %s, %q, and its check says %s, %q\n%s", tank.Decision, tank.Summary, then.Decision, then.Summary, text(b))
	}
}

// bestPlacement tries every tank, and none, for every unit.
func (c *claim) bestPlacement(in *placing, units [][]int) (lost float64, harm span) {
	lost, harm = math.Inf(1), impossible
	memo := map[[2]int]span{}
	inTank := func(at, picked int) span {
		key := [2]int{at, picked}
		if _, ok := memo[key]; !ok {
			memo[key] = c.harmIn(in, units, at, picked)
		}
		return memo[key]
	}
	eachWay(len(units), len(in.Tanks)+1, func(sets []int) {
		l, h := 0.0, span{}
		left, _ := of(in.Incoming, units, sets[0])
		for _, f := range left {
			l += f.Weight
		}
		for at := range in.Tanks {
			h = h.plus(inTank(at, sets[at+1]))
		}
		switch {
		case math.IsInf(h.least, 1) || l > lost+1e-9:
		case l < lost-1e-9:
			lost, harm = l, h
		default:
			harm = span{min(harm.least, h.least), min(harm.most, h.most)}
		}
	})
	return lost, harm
}

// eachWay tries every way to put units into places, which get the sets of their units.
func eachWay(units, places int, try func(sets []int)) {
	ways := 1
	for range units {
		ways *= places
	}
	for way := range ways {
		sets := make([]int, places)
		for u, rest := 0, way; u < units; u, rest = u+1, rest/places {
			sets[rest%places] |= 1 << u
		}
		try(sets)
	}
}
