package stock_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
)

// rankOf orders decisions.
func rankOf(d gen.Decision) int {
	return slices.Index([]gen.Decision{gen.Proceed, gen.Advise, gen.Hold}, d)
}

func TestOffersAreWhatCouldBeSoldInstead(t *testing.T) {
	s := newShop(t)
	s.stocked()
	const sale = `{"tank":{"size":"120x40x50cm"},"residents":[{"species":"neon tetra","count":12}],"incoming":[{"species":"oscar"}]`
	check := func(body string, key []string) gen.Check {
		t.Helper()
		return apitest.Body[gen.Check](t, s.Post("/v1/checks", body, key...), http.StatusOK)
	}
	if c := check(sale+`}`, s.key); c.Offers != nil || c.OffersBeside != nil || c.OfferedFrom != nil {
		t.Errorf("nobody asked: %+v", c.Offers)
	}
	c := check(sale+`,"offers":3}`, s.key)
	if c.Decision != gen.Hold || len(*c.Offers) != 1 || *(*c.Offers)[0].Article != "PC-1" || *c.OfferedFrom != gen.OfferStock || !c.OffersBeside.Held || len(c.OffersBeside.Lines) != 1 {
		t.Errorf("%s: %+v beside %+v", c.Decision, *c.Offers, *c.OffersBeside)
	}
	if o := (*c.Offers)[0]; !strings.HasPrefix(o.Summary, "You could take ") || !strings.Contains(o.Summary, "panda") || !strings.HasSuffix(o.Summary, " instead.") {
		t.Errorf("%q", o.Summary)
	}
	c = check(sale+`,"offers":5}`, nil)
	if len(*c.Offers) != 5 || *c.OfferedFrom != gen.OfferCatalogue || (*c.Offers)[0].Article != nil {
		t.Errorf("from the catalogue: %+v", *c.Offers)
	}
	genera := map[string]bool{}
	for _, o := range *c.Offers {
		genus, _, _ := strings.Cut(o.Species.ScientificName, " ")
		genera[genus] = true
	}
	if len(genera) < 3 {
		t.Errorf("they are all alike: %+v", *c.Offers)
	}
	c = check(`{"tank":{"size":"120x40x50cm"},"residents":[{"species":"neon tetra","count":12}],"offers":2}`, nil)
	if c.OffersBeside.Held || !strings.HasSuffix((*c.Offers)[0].Summary, " as well.") {
		t.Errorf("beside: %+v", *c.Offers)
	}
	c = check(`{"tank":{"size":"40x25x25cm"},"residents":[{"species":"oscar","count":2}],"incoming":[{"species":"neon tetra","count":6}],"offers":2}`, nil)
	if len(*c.Offers) != 0 || c.NoOffers == nil || !strings.Contains(*c.NoOffers, "put right first") {
		t.Errorf("for a tank that is wrong as it is: %+v, %v", *c.Offers, c.NoOffers)
	}
	c = check(`{"residents":[{"species":"axolotl"}],"incoming":[{"species":"guppy"}],"offers":2}`, nil)
	for _, o := range *c.Offers {
		t.Errorf("offered to an axolotl: %+v", o)
	}
}

// saleDrawn is a drawn sale: a tank or none, who lives there, and what is about to join.
type saleDrawn struct {
	Tank      map[string]any   `json:"tank,omitempty"`
	Residents []map[string]any `json:"residents"`
	Incoming  []map[string]any `json:"incoming,omitempty"`
	Region    string           `json:"region,omitempty"`
	Offers    int              `json:"offers,omitempty"`
}

func drawSale(r *rand.Rand, kinds []string) saleDrawn {
	lines := func(n int) (out []map[string]any) {
		for range n {
			l := map[string]any{"species": kinds[r.IntN(len(kinds))]}
			if r.IntN(3) > 0 {
				l["count"] = 1 + r.IntN(12)
			}
			if r.IntN(5) == 0 {
				l["length_cm"] = 1 + r.IntN(10)
			}
			out = append(out, l)
		}
		return out
	}
	out := saleDrawn{Residents: append([]map[string]any{}, lines(r.IntN(4))...), Incoming: lines(r.IntN(3)), Offers: 1 + r.IntN(10)}
	if len(out.Residents)+len(out.Incoming) == 0 {
		out.Incoming = lines(1)
	}
	if r.IntN(5) > 0 {
		sizes := []string{"40x25x25cm", "60x30x30cm", "80x35x40cm", "100x40x45cm", "120x40x50cm", "150x50x60cm"}
		out.Tank = map[string]any{"size": sizes[r.IntN(len(sizes))]}
		for name, v := range map[string]any{"temperature_c": 22 + r.IntN(6), "ph": 6 + r.Float64()*2, "lid": r.IntN(2) == 0, "planted": r.IntN(2) == 0, "filter_mature": r.IntN(4) > 0} {
			if r.IntN(3) == 0 {
				out.Tank[name] = v
			}
		}
	}
	return out
}

// TestOffersAreTrue draws sales and asks the service again, with each offer in its group among the lines that stay: the
// decision is no worse than theirs is without it.
func TestOffersAreTrue(t *testing.T) {
	s := newShop(t)
	snap := fixture.Fitted(t).Snapshot
	r := rand.New(rand.NewPCG(2026, 11))
	var kinds []string
	for range 60 {
		kinds = append(kinds, string(snap.At(r.IntN(snap.Len())).ID))
	}
	kinds = append(kinds, "paracheirodon-innesi", "poecilia-reticulata", "hoplisoma-paleatum", "astronotus-ocellatus", "betta-splendens", "cory", "nerite", "java fern", "red eared slider")
	judged := func(sale saleDrawn) gen.Check {
		t.Helper()
		text, err := json.Marshal(sale)
		if err != nil {
			t.Fatal(err)
		}
		return apitest.Body[gen.Check](t, s.Post("/v1/checks", string(text)), http.StatusOK)
	}
	offered, instead := 0, 0
	for n := range 40 {
		sale := drawSale(r, kinds)
		first := judged(sale)
		if first.OffersBeside == nil || len(*first.Offers) > sale.Offers || len(*first.Offers) == 0 && first.NoOffers == nil {
			t.Fatalf("%d: %+v", n, first)
		}
		rest := saleDrawn{Tank: sale.Tank, Residents: []map[string]any{}}
		stay := map[string]bool{}
		for _, i := range first.OffersBeside.Lines {
			for _, ref := range first.Lines[i].Refs {
				stay[ref] = true
			}
		}
		aside := map[string]bool{}
		for _, not := range first.NotJudged {
			aside[not.Pointer] = true
		}
		for i, l := range sale.Residents {
			if at := fmt.Sprintf("/residents/%d", i); stay[at] || aside[at] {
				rest.Residents = append(rest.Residents, settled(l, &first, at))
			}
		}
		for i, l := range sale.Incoming {
			if at := fmt.Sprintf("/incoming/%d", i); stay[at] {
				rest.Incoming = append(rest.Incoming, settled(l, &first, at))
			}
		}
		own := gen.Check{Decision: gen.Proceed, TankDecision: gen.Proceed}
		if len(rest.Residents)+len(rest.Incoming) > 0 {
			own = judged(rest)
		}
		if own.Decision != first.OffersBeside.Decision || own.TankDecision != first.OffersBeside.TankDecision {
			t.Errorf("%d: the rest is %s, %s; the answer says %+v\n%+v", n, own.Decision, own.TankDecision, *first.OffersBeside, sale)
		}
		for _, o := range *first.Offers {
			with := rest
			with.Incoming = append(slices.Clone(rest.Incoming), map[string]any{"species": o.Species.Id, "count": o.Count})
			got := judged(with)
			if rankOf(got.Decision) > rankOf(own.Decision) || rankOf(got.TankDecision) > rankOf(own.TankDecision) {
				t.Errorf("%d: with %d %s it is %s, %s; without %s, %s\n%+v", n, o.Count, o.Species.Id, got.Decision, got.TankDecision, own.Decision, own.TankDecision, with)
			}
			offered++
		}
		if first.OffersBeside.Held && len(*first.Offers) > 0 {
			instead++
		}
	}
	if offered < 40 || instead < 5 {
		t.Errorf("only %d offers, in %d sales instead of what is held: the test shows little", offered, instead)
	}
}

// settled is a line of a sale whose name may mean several kinds as the kind that the answer took it for.
func settled(l map[string]any, c *gen.Check, at string) map[string]any {
	out := map[string]any{}
	for k, v := range l {
		out[k] = v
	}
	for _, line := range c.Lines {
		if slices.Contains(line.Refs, at) {
			out["species"] = line.Species.Id
		}
	}
	return out
}
