package lists_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/torture"

	"pgregory.net/rapid"
)

// The tests named Claims hold what an answer calls best, fewest, least, complete or impossible against
// all that could be tried instead, each by the request that a user would send next. They know nothing
// of the core: what they compare are bytes that were sent and answered.

// fish is a line of a request, as it is sent.
type fish struct {
	Species     string  `json:"species"`
	Count       int     `json:"count,omitempty"`
	Sex         string  `json:"sex,omitempty"`
	LengthCM    float64 `json:"length_cm,omitempty"`
	AgeMonths   float64 `json:"age_months,omitempty"`
	Disposition string  `json:"disposition,omitempty"`
	Observed    float64 `json:"months_observed,omitempty"`
	Keep        bool    `json:"keep,omitempty"`
	Weight      float64 `json:"weight,omitempty"`
}

// basin is what is told of a tank; nil where there is none.
type basin map[string]any

// with is the tank with one thing told otherwise.
func (b basin) with(key string, value any) basin {
	out := basin{}
	maps.Copy(out, b)
	out[key] = value
	return out
}

// sized is the tank with other dimensions.
func (b basin) sized(size string) basin {
	out := b.with("size", size)
	delete(out, "volume_l")
	return out
}

// basket is the body of a check.
type basket struct {
	Tank      basin  `json:"tank,omitempty"`
	Residents []fish `json:"residents,omitempty"`
	Incoming  []fish `json:"incoming,omitempty"`
	Wanted    string `json:"wanted_level,omitempty"`
	Region    string `json:"region,omitempty"`
}

// fish are all lines, the residents first.
func (b *basket) fish() []fish { return slices.Concat(b.Residents, b.Incoming) }

// each is the list with every line passed through a function, which drops those it answers with false;
// lines are numbered as [basket.fish] has them.
func (b basket) each(keep func(i int, f *fish) bool) basket {
	n := 0
	through := func(lines []fish) (out []fish) {
		for _, f := range lines {
			if keep(n, &f) {
				out = append(out, f)
			}
			n++
		}
		return out
	}
	b.Residents = through(b.Residents)
	b.Incoming = through(b.Incoming)
	return b
}

// place is where the line at a JSON Pointer of a check's request stands in [basket.fish].
func (b *basket) place(pointer string) int {
	room, at, _ := strings.Cut(strings.TrimPrefix(pointer, "/"), "/")
	n, err := strconv.Atoi(at)
	if err != nil {
		panic(pointer)
	}
	if room == "incoming" {
		return len(b.Residents) + n
	}
	return n
}

// places are where the request has each line that the answer speaks of.
func (b *basket) places(lines []gen.CheckedLine) [][]int {
	out := make([][]int, len(lines))
	for i, l := range lines {
		for _, pointer := range l.Refs {
			out[i] = append(out[i], b.place(pointer))
		}
	}
	return out
}

// only is the list of some lines alone.
func (b basket) only(lines []int) basket {
	return b.each(func(i int, _ *fish) bool { return slices.Contains(lines, i) })
}

// without is the list without some lines.
func (b basket) without(lines []int) basket {
	return b.each(func(i int, _ *fish) bool { return !slices.Contains(lines, i) })
}

// claim is one drawn case: a client that asks, and remembers what it was answered.
type claim struct {
	*rapid.T
	handler http.Handler
	book    *conflict.Book
	told    map[string][]byte
}

// claims draws so many cases, or as many as COMMENSAL_TORTURE_CLAIMS says, and hands each a client.
func claims(t *testing.T, usual int, hold func(*claim)) {
	t.Helper()
	before := map[string]string{}
	for name, value := range map[string]string{
		"rapid.checks": strconv.Itoa(torture.Size(t, "CLAIMS", usual)),
		"rapid.seed":   strconv.Itoa(torture.Size(t, "SEED", 1)),
	} {
		before[name] = flag.Lookup(name).Value.String()
		if err := flag.Set(name, value); err != nil {
			t.Fatal(err)
		}
	}
	defer func() {
		for name, value := range before {
			_ = flag.Set(name, value)
		}
	}()
	book := fixture.Served(t)
	h := apitest.ServerOf(t, book, func(c *api.Config) { c.CacheBytes = -1 }).Handler()
	rapid.Check(t, func(t *rapid.T) { hold(&claim{t, h, book, map[string][]byte{}}) })
}

// send asks, once for each body, and wants an answer.
func (c *claim) send(method, target string, body any) []byte {
	c.Helper()
	text, err := json.Marshal(body)
	if err != nil {
		c.Fatal(err)
	}
	key := method + target + string(text)
	if out, ok := c.told[key]; ok {
		return out
	}
	w := httptest.NewRecorder()
	r := httptest.NewRequest(method, target, bytes.NewReader(text))
	r.Header.Set("Content-Type", "application/json")
	c.handler.ServeHTTP(w, r)
	if w.Code != http.StatusOK {
		c.Fatalf("%s %s %s: %d %s", method, target, text, w.Code, apitest.Clipped(w.Body.String()))
	}
	c.told[key] = w.Body.Bytes()
	return c.told[key]
}

// answered reads what is answered.
func answered[T any](c *claim, method, target string, body any) (v T) {
	c.Helper()
	if err := json.Unmarshal(c.send(method, target, body), &v); err != nil {
		c.Fatalf("%s %s: %v", method, target, err)
	}
	return v
}

func (c *claim) check(b basket) gen.Check {
	return answered[gen.Check](c, http.MethodPost, "/v1/checks", b)
}

// verdict is what a check in brief says.
func (c *claim) verdict(b basket) gen.BriefCheck {
	return answered[gen.BriefCheck](c, http.MethodPost, "/v1/checks", struct {
		basket
		Detail string `json:"detail"`
	}{b, "brief"})
}

// text shows a request in a failure.
func text(body any) string {
	out, err := json.Marshal(body)
	if err != nil {
		return fmt.Sprint(body)
	}
	return string(out)
}

// known are kinds that people buy and clash about: half of all drawn fish, so that lists hold together
// often enough for a split, a placement or a remedy to have something to choose from.
var known = []string{
	"paracheirodon-innesi", "poecilia-reticulata", "hoplisoma-panda", "betta-splendens", "pterophyllum-scalare", "astronotus-ocellatus",
	"puntigrus-tetrazona", "carassius-auratus", "ancistrus-cirrhosus", "trichogaster-lalius", "danio-rerio", "xiphophorus-hellerii",
	"mikrogeophagus-ramirezi", "amatitlania-nigrofasciata", "pangio-kuhlii", "neocaridina-davidi", "maylandia-callainos", "tanichthys-albonubes",
}

// kind draws a kind, now and then one that is related to another.
func (c *claim) kind(beside []fish) string {
	if len(beside) > 0 && rapid.IntRange(0, 5).Draw(c.T, "related") == 0 {
		of := rapid.SampledFrom(beside).Draw(c.T, "of").Species
		return rapid.SampledFrom(c.relatives(of)).Draw(c.T, "relative")
	}
	if rapid.Bool().Draw(c.T, "known") {
		return rapid.SampledFrom(known).Draw(c.T, "kind")
	}
	return string(c.book.Snapshot.At(rapid.IntRange(0, c.book.Snapshot.Len()-1).Draw(c.T, "any kind")).ID)
}

// relatives are a kind and its other forms.
func (c *claim) relatives(of string) (out []string) {
	m, err := c.book.Snapshot.Resolve(of)
	if err != nil {
		c.Fatal(err)
	}
	for i := range c.book.Snapshot.Len() {
		if i == m.Index || conflict.OneKind(c.book.Snapshot.At(i), c.book.Snapshot.At(m.Index)) {
			out = append(out, string(c.book.Snapshot.At(i).ID))
		}
	}
	return out
}

// fish draws a line.
func (c *claim) fish(beside []fish) fish {
	f := fish{Species: c.kind(beside)}
	if rapid.IntRange(0, 3).Draw(c.T, "counted") > 0 {
		f.Count = rapid.IntRange(1, 12).Draw(c.T, "count")
	}
	f.Sex = rapid.SampledFrom([]string{"", "", "", "male", "female"}).Draw(c.T, "sex")
	switch rapid.IntRange(0, 6).Draw(c.T, "size") {
	case 0:
		f.LengthCM = float64(rapid.IntRange(5, 300).Draw(c.T, "length")) / 10
	case 1:
		f.AgeMonths = float64(rapid.IntRange(1, 60).Draw(c.T, "age"))
	}
	if rapid.IntRange(0, 9).Draw(c.T, "observed") == 0 {
		f.Disposition, f.Observed = rapid.SampledFrom([]string{"calmer", "fiercer"}).Draw(c.T, "mood"), 6
	}
	return f
}

// lines draws a list.
func (c *claim) lines(least, most int) (out []fish) {
	for range rapid.IntRange(least, most).Draw(c.T, "lines") {
		out = append(out, c.fish(out))
	}
	return out
}

// sizes are the dimensions that tanks are drawn with; the standard ones are among them.
func sizes() (out []string) {
	for _, s := range conflict.StandardTanks {
		out = append(out, sizeText(s))
	}
	return out
}

func sizeText(s conflict.TankSize) string {
	return fmt.Sprintf("%vx%vx%vcm", s.LengthCM, s.WidthCM, s.HeightCM)
}

// ranges are what the readings are drawn from, in tenths.
var ranges = map[string][2]int{"temperature_c": {160, 320}, "ph": {50, 90}, "gh_dh": {0, 250}, "salinity_ppt": {0, 60}}

// tank draws a tank of which some things are known, or none.
func (c *claim) tank() basin {
	if rapid.IntRange(0, 3).Draw(c.T, "no tank") == 0 {
		return nil
	}
	b := basin{}
	if rapid.IntRange(0, 4).Draw(c.T, "volume only") == 0 {
		b["volume_l"] = rapid.SampledFrom([]float64{20, 54, 112, 240, 600}).Draw(c.T, "volume")
	} else {
		b["size"] = rapid.SampledFrom(append(sizes(), "63x41x37cm", "130x45x60cm")).Draw(c.T, "size")
	}
	for _, key := range slices.Sorted(maps.Keys(ranges)) {
		if rapid.IntRange(0, 3).Draw(c.T, key+" known") == 0 {
			b[key] = float64(rapid.IntRange(ranges[key][0], ranges[key][1]).Draw(c.T, key)) / 10
		}
	}
	maybe := func(key string, values ...any) {
		if rapid.Bool().Draw(c.T, key+" known") {
			b[key] = rapid.SampledFrom(values).Draw(c.T, key)
		}
	}
	maybe("cover", 0.0, 0.2, 0.5, 0.8, 1.0)
	maybe("turnover_per_hour", 1, 4, 10)
	maybe("weekly_change", 0, 0.1, 0.5)
	maybe("lid", true, false)
	maybe("filter_mature", true, false)
	maybe("planted", true, false)
	maybe("substrate", "sand", "gravel", "bare")
	return b
}

// wanted draws the highest level that is wanted, most often the usual one.
func (c *claim) wanted() string {
	return rapid.SampledFrom([]string{"", "", "", "low", "high"}).Draw(c.T, "wanted")
}

// region draws where the seller is, most often where hardly anything is forbidden.
func (c *claim) region() string {
	return rapid.SampledFrom([]string{"", "Germany", "Germany", "Texas"}).Draw(c.T, "region")
}

// basket draws a list, all residents or some of them about to join.
func (c *claim) basket(least, most int) basket {
	b := basket{Tank: c.tank(), Wanted: c.wanted(), Region: c.region()}
	b.Residents = c.lines(least, most)
	if rapid.Bool().Draw(c.T, "joining") {
		n := rapid.IntRange(0, len(b.Residents)).Draw(c.T, "residents")
		b.Residents, b.Incoming = b.Residents[:n:n], b.Residents[n:]
	}
	return b
}

// ranks are the decisions in order.
var ranks = map[gen.Decision]int{gen.Proceed: 0, gen.Advise: 1, gen.Hold: 2}

// worse is the worse of two decisions.
func worse(a, b gen.Decision) gen.Decision {
	if ranks[a] >= ranks[b] {
		return a
	}
	return b
}

// levels are in order.
var levels = map[gen.Level]int{"low": 0, "moderate": 1, "high": 2, "severe": 3}
