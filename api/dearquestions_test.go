package api_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/internal/auth"
	"commensal/internal/pages/links"
)

const jsonMedia = "application/json"

// openQuestions are the operations that reckon and need no key, and the pages.
func openQuestions() (all []question) {
	for _, path := range slices.Sorted(maps.Keys(dearest)) {
		all = append(all, question{path, 1, func(a *asked) *http.Request { return posted(path, jsonMedia, dearest[path](a)) }})
	}
	with := func(key string, value any) func(*asked) any {
		return func(a *asked) any { b := a.list(200, "tank"); b[key] = value; return b }
	}
	for name, body := range map[string]func(*asked) any{
		"/v1/checks?offers": with("offers", 10), "/v1/checks?brief": with("detail", "brief"), "/v1/checks?joining": (*asked).joining,
		"/v1/checks?unresolved": (*asked).misspelt, "/v1/additions?instead": (*asked).instead, "/v1/adopters/forms": (*asked).form,
	} {
		path, _, _ := strings.Cut(name, "?")
		all = append(all, question{name, 1, func(a *asked) *http.Request { return posted(path, jsonMedia, body(a)) }})
	}
	all = append(all, question{"/v1/checks/batch", batched, func(a *asked) *http.Request { return posted("/v1/checks/batch", "application/x-ndjson", a.batch()) }})
	for name, path := range map[string]func(*asked) string{
		"/v1/species": func(a *asked) string { return "/v1/species?limit=100&q=" + a.lines[0].species + a.query("") },
		"/v1/species/pairings": func(a *asked) string {
			return "/v1/species/" + a.lines[0].species + "/pairings?limit=100"
		},
		"/v1/pairings/of two":     func(a *asked) string { return a.pair("/v1/pairings/") + "?" + a.query("tank="+a.tanks[0]) },
		"/v1/species/care":        func(a *asked) string { return "/v1/species/" + a.lines[0].species + "/care?tank=" + a.tanks[0] },
		"page of a pairing":       func(a *asked) string { return a.pair("/pairings/") + "?tank=" + a.tanks[0] + a.query("") },
		"picture of a pairing":    func(a *asked) string { return a.pair("/pairings/") + ".svg?" + a.query("") },
		"page of a list":          func(a *asked) string { return "/lists/" + a.sign() },
		"picture of a list":       func(a *asked) string { return "/lists/" + a.sign() + ".svg" },
		"page for the counter":    func(a *asked) string { return "/counter?for=" + url.QueryEscape(a.sign()) },
		"page for adopters":       func(a *asked) string { return "/adopt?for=" + url.QueryEscape(a.sign()) },
		"list as it is typed":     func(a *asked) string { return "/lists?list=" + url.QueryEscape(a.words(links.MaxLines)) },
		"names as they are typed": func(a *asked) string { return "/suggest?q=" + url.QueryEscape(a.words(5)) },
		"embedded list":           func(a *asked) string { return "/embed/lists/" + a.sign() },
	} {
		all = append(all, question{name, 1, func(a *asked) *http.Request { return got(path(a)) }})
	}
	slices.SortFunc(all, func(x, y question) int { return strings.Compare(x.name, y.name) })
	return all
}

// joining is a list of which one half joins the other.
func (a *asked) joining() any {
	b := a.list(200, "tank")
	all := b["residents"].([]any)
	b["residents"], b["incoming"] = all[:len(all)/2], all[len(all)/2:]
	return b
}

// misspelt is a list of names that mean several kinds or none.
func (a *asked) misspelt() any {
	b := a.list(200, "tank")
	words := []string{"tetra", "cory", "pleco", "barb", "cichlid", "nobody knows", "loach"}
	for i, x := range b["residents"].([]any) {
		x.(map[string]any)["species"] = words[(i+len(a.lines))%len(words)]
	}
	b["unmatched"] = "set_aside"
	return b
}

// instead looks for one that is like another, among what is in stock.
func (a *asked) instead() any {
	b := a.list(199, "tank")
	b["limit"], b["instead_of"], b["in_stock"] = 200, a.lines[0].species, a.names(200)
	return b
}

func (a *asked) form() any {
	return map[string]any{"tank": a.tanks[0], "residents": a.wire(a.lines[:min(len(a.lines), 100-links.MaxLines)]), "lives_there": a.words(links.MaxLines), "lid": true, "heater": true}
}

// batched is how many lists a batch is drawn with.
const batched = 3

func (a *asked) batch() []byte {
	var out bytes.Buffer
	for i := range batched {
		b := a.list(200-i, "tank")
		if err := json.NewEncoder(&out).Encode(b); err != nil {
			panic(err) // it is made of what can be encoded
		}
	}
	return out.Bytes()
}

// words is a list as people write it.
func (a *asked) words(most int) string {
	var out []string
	for _, l := range a.lines[:min(len(a.lines), most)] {
		out = append(out, strconv.Itoa(l.count)+" "+l.species)
	}
	return strings.Join(out, "\n")
}

// sign is a list as it stands in an address, as long as a page takes it.
func (a *asked) sign() string {
	var out []string
	for _, l := range a.lines[:min(len(a.lines), links.MaxLines)] {
		out = append(out, strconv.Itoa(min(l.count, 999))+"-"+l.species)
	}
	return strings.Join(out, "+") + "@" + a.tanks[0]
}

func (a *asked) pair(room string) string {
	return room + a.lines[0].species + "/" + a.lines[len(a.lines)-1].species
}

// query is what the knobs say of a pairing, after what stands before it.
func (a *asked) query(before string) string {
	if a.water > 0 {
		before += "&temperature_c=" + strconv.FormatFloat(a.water, 'f', -1, 64)
	}
	return before
}

// TestNoStoredThingIsDearerThanItsCeiling does the same for what is stored: the tank that the knobs say is
// stored first, and what is measured is the question about it.
func TestNoStoredThingIsDearerThanItsCeiling(t *testing.T) {
	s, set := newShop(t)
	h := apitest.NewService(t, set)
	s.handler = h.Handler
	key := h.Key("here", auth.TanksRead, auth.TanksWrite, auth.ChecksRead, auth.ChecksWrite, auth.StockRead, auth.StockWrite)
	keyed := func(r *http.Request) *http.Request { r.Header.Set(key[0], key[1]); return r }
	tank := func(a *asked) string {
		body, err := json.Marshal(map[string]any{"tank": a.tank(a.tanks[0]), "residents": a.wire(a.lines[:min(len(a.lines), 100)])})
		if err != nil {
			t.Fatal(err)
		}
		return "/v1/tanks/" + apitest.Body[gen.Tank](t, h.Post("/v1/tanks", string(body), key...), http.StatusCreated).Id
	}
	for _, q := range []question{
		{"/v1/tanks/check", 1, func(a *asked) *http.Request { return got(tank(a) + "/check") }},
		{"/v1/tanks/check with incoming", 1, func(a *asked) *http.Request {
			return posted(tank(a)+"/check", jsonMedia, map[string]any{"incoming": a.wire(a.lines[:min(len(a.lines), 90)]), "offers": 10})
		}},
		{"/v1/tanks/additions", 1, func(a *asked) *http.Request { return got(tank(a) + "/additions?limit=200") }},
		{"/v1/placements", 1, func(a *asked) *http.Request {
			b := a.placements().(map[string]any)
			b["tanks"] = append(b["tanks"].([]any)[1:], map[string]any{"id": strings.TrimPrefix(tank(a), "/v1/tanks/")})
			b["store"] = true
			return posted("/v1/placements", jsonMedia, b)
		}},
		{"/v1/checks/replay", 1, func(a *asked) *http.Request {
			b := a.list(100, "tank")
			b["record"] = true
			body, err := json.Marshal(b)
			if err != nil {
				t.Fatal(err)
			}
			return got("/v1/checks/" + apitest.Body[gen.RecordedCheck](t, h.Post("/v1/checks", string(body), key...), http.StatusCreated).Id + "/replay")
		}},
		{"/v1/stock", 1, func(a *asked) *http.Request {
			var list []any
			for i, l := range a.lines {
				list = append(list, map[string]any{"article": strconv.Itoa(i), "name": strconv.Itoa(l.count) + " " + l.species + " 3 cm tetra"})
			}
			r := posted("/v1/stock", jsonMedia, map[string]any{"articles": list})
			r.Method = http.MethodPut
			return r
		}},
	} {
		t.Run(q.name, func(t *testing.T) {
			of := q.of
			q.of = func(a *asked) *http.Request { return keyed(of(a)) }
			climb(t, s, q)
		})
	}
}
