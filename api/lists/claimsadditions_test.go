package lists_test

import (
	"net/http"
	"slices"
	"testing"

	"commensal/api/gen"

	"pgregory.net/rapid"
)

// joinable is the body of a request for additions.
type joinable struct {
	Tank      basin    `json:"tank,omitempty"`
	Residents []fish   `json:"residents"`
	InStock   []string `json:"in_stock"`
	Wanted    string   `json:"wanted_level,omitempty"`
	Region    string   `json:"region,omitempty"`
}

// Everything that is told of as fitting leaves the list as it was when it joins it and is checked, all
// else on offer makes it worse, and each is told with the decision and the worst score of its check.
func TestClaimsWhatFitsMayJoinAndNothingElse(t *testing.T) {
	claims(t, 25, func(c *claim) {
		in := joinable{Tank: c.tank(), Residents: unlike(c.lines(1, 3)), Wanted: c.wanted(), Region: c.region()}
		for range rapid.IntRange(1, 6).Draw(c.T, "on offer") {
			in.InStock = append(in.InStock, c.kind(nil))
		}
		a := answered[gen.Additions](c, http.MethodPost, "/v1/additions", in)
		list := basket{Tank: in.Tank, Residents: in.Residents, Wanted: in.Wanted, Region: in.Region}
		before := c.check(list)
		if before.TankDecision != a.Decision {
			c.Fatalf("the list is told as %s, and its check says %s\n%s", a.Decision, before.TankDecision, text(in))
		}
		for _, x := range slices.Concat(a.Fitting, a.Below) {
			c.joinsAsTold(&in, &a, list, x)
		}
		offered := map[string]bool{}
		for _, name := range in.InStock {
			offered[name] = !slices.ContainsFunc(in.Residents, func(f fish) bool { return f.Species == name })
		}
		n := 0
		for _, looked := range offered {
			if looked {
				n++
			}
		}
		forbidden := 0
		if a.Forbidden != nil {
			forbidden = *a.Forbidden
		}
		if a.Considered+forbidden > n || a.Complete && a.Considered+forbidden < n || len(a.Fitting)+len(a.Below) < min(a.Considered, 3) {
			c.Fatalf("%d looked at and %d forbidden of %d on offer, %d fit and %d do not\n%s", a.Considered, forbidden, n, len(a.Fitting), len(a.Below), text(in))
		}
	})
}

func (c *claim) joinsAsTold(in *joinable, a *gen.Additions, list basket, x gen.Addition) {
	list.Incoming = []fish{{Species: x.Species.Id, Count: x.Count}}
	then := c.check(list)
	worst := 0.0
	for _, p := range then.Pairings {
		if then.Lines[p.Lines[0]].Species.Id == x.Species.Id || then.Lines[p.Lines[1]].Species.Id == x.Species.Id {
			worst = max(worst, p.Score)
		}
	}
	switch {
	case then.TankDecision != x.Decision || worst != x.WorstScore:
		c.Fatalf("%d %s are told as %s with a worst score of %v, and their check says %s and %v\n%s", x.Count, x.Species.Id, x.Decision, x.WorstScore, then.TankDecision, worst, text(in))
	case x.Fits && ranks[then.TankDecision] > ranks[a.Decision]:
		c.Fatalf("%d %s fit and make %s of %s\n%s", x.Count, x.Species.Id, then.TankDecision, a.Decision, text(in))
	case !x.Fits && a.Decision != gen.Hold && ranks[then.TankDecision] <= ranks[a.Decision]:
		c.Fatalf("%d %s do not fit and leave %s\n%s\n%s", x.Count, x.Species.Id, a.Decision, text(x), text(in))
	}
}

// Every offer of a check may join what stays of the list: its check is as told, no worse than without,
// and nothing in it is to be mended about what is offered.
func TestClaimsOffersMayJoinWhatStays(t *testing.T) {
	claims(t, 12, func(c *claim) {
		b := c.basket(1, 3)
		told := answered[gen.Check](c, http.MethodPost, "/v1/checks", struct {
			basket
			Offers int `json:"offers"`
		}{b, 3})
		if told.Offers == nil {
			if told.NoOffers == nil {
				c.Fatalf("no offer, and nothing said of it\n%s", text(b))
			}
			return
		}
		var stay []int
		for _, line := range told.OffersBeside.Lines {
			stay = append(stay, b.places(told.Lines)[line]...)
		}
		beside := b.only(stay)
		for _, o := range *told.Offers {
			with := beside
			with.Incoming = append(slices.Clone(beside.Incoming), fish{Species: o.Species.Id, Count: o.Count})
			then := c.check(with)
			if then.TankDecision != o.Decision || ranks[then.Decision] > ranks[told.OffersBeside.Decision] || ranks[then.TankDecision] > ranks[told.OffersBeside.TankDecision] {
				c.Fatalf("%d %s are offered with %s beside %s, and their check says %s (the tank %s)\n%s", o.Count, o.Species.Id, o.Decision, told.OffersBeside.Decision, then.Decision, then.TankDecision, text(with))
			}
			for _, f := range then.Findings {
				about := slices.ContainsFunc(f.Species, func(id string) bool { return id == o.Species.Id })
				if about && f.Severity != gen.Note && f.Code != "group_too_small" && f.Code != "sex_ratio" && f.Code != "tank_unknown" {
					c.Fatalf("%d %s are offered, and of them is said %s\n%s", o.Count, o.Species.Id, f.Summary, text(with))
				}
			}
		}
	})
}
