package curation_test

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"

	"github.com/jackc/pgx/v5"
)

// badEntry is a change of a good entry that is refused, and where.
type badEntry struct {
	name    string
	change  func(entry map[string]any)
	status  int
	pointer string
}

func without(key string) func(map[string]any) {
	return func(entry map[string]any) { delete(entry, key) }
}

// twice repeats the first item of a list.
func twice(key string) func(map[string]any) {
	return func(entry map[string]any) {
		list := entry[key].([]any)
		entry[key] = append(list, list[0])
	}
}

var badEntries = []badEntry{
	{"a number as a text", fixture.Set("3.5", "traits", 0, "low"), http.StatusBadRequest, "/traits/0/low"},
	{"a number with a unit", fixture.Set("2in", "traits", 0, "low"), http.StatusBadRequest, "/traits/0/low"},
	{"no basis", func(e map[string]any) { delete(e["traits"].([]any)[0].(map[string]any), "basis") }, http.StatusBadRequest, "/traits/0/basis"},
	{"an unknown field", fixture.Set(1, "colour"), http.StatusBadRequest, "/colour"},
	{"no traits", without("traits"), http.StatusBadRequest, "/traits"},
	{"traits of null", fixture.Set(nil, "traits"), http.StatusBadRequest, "/traits"},
	{"an unknown way of feeding", fixture.Set("nibble", "feeds_by"), http.StatusBadRequest, "/feeds_by"},
	{"unknown hours", fixture.Set("noon", "active"), http.StatusBadRequest, "/active"},
	{"an unknown availability", fixture.Set("sold out", "availability"), http.StatusBadRequest, "/availability"},
	{"an unknown sex", fixture.Set("hen", "sold_as"), http.StatusBadRequest, "/sold_as"},
	{"a water parameter that is none", fixture.Set("temperature", "water", 0, "parameter"), http.StatusBadRequest, "/water/0/parameter"},

	{"an empty basis", fixture.Set("", "traits", 0, "basis"), http.StatusUnprocessableEntity, "/traits/0/basis"},
	{"a basis of hearsay", fixture.Set("hearsay", "traits", 0, "basis"), http.StatusUnprocessableEntity, "/traits/0"},
	{"an unknown source", fixture.Set("source:nowhere", "traits", 0, "basis"), http.StatusUnprocessableEntity, "/traits/0"},
	{"an unknown source of the words", fixture.Set("source:nowhere", "basis"), http.StatusUnprocessableEntity, "/basis"},
	{"inches among centimetres", fixture.Set("in", "traits", 0, "unit"), http.StatusUnprocessableEntity, "/traits/0/unit"},
	{"water in °F", fixture.Set("F", "water", 0, "unit"), http.StatusUnprocessableEntity, "/water/0/unit"},
	{"a fish of nine metres", fixture.Set(900.0, "traits", 0, "high"), http.StatusUnprocessableEntity, "/traits/0"},
	{"a band that falls", fixture.Set(9.0, "traits", 0, "low"), http.StatusUnprocessableEntity, "/traits/0"},
	{"a length of nothing", fixture.Set(-1.0, "traits", 0, "low"), http.StatusUnprocessableEntity, "/traits/0"},
	{"a length without end", fixture.Set(math.MaxFloat64, "traits", 0, "high"), http.StatusUnprocessableEntity, "/traits/0"},
	{"a trait that is none", fixture.Set("lenght", "traits", 0, "trait"), http.StatusUnprocessableEntity, "/traits/0/trait"},
	{"a trait twice", twice("traits"), http.StatusUnprocessableEntity, "/traits/28"},
	{"a required trait missing", func(e map[string]any) { e["traits"] = e["traits"].([]any)[1:] }, http.StatusUnprocessableEntity, "/traits"},
	{"a sex in what does not differ", fixture.Set("male", "traits", 2, "sex"), http.StatusUnprocessableEntity, "/traits/2"},
	{"a pH of 15", fixture.Set(15.0, "water", 1, "tolerated", "high"), http.StatusUnprocessableEntity, "/water/1"},
	{"preferred but not tolerated", fixture.Set(5.0, "water", 1, "preferred", "low"), http.StatusUnprocessableEntity, "/water/1"},
	{"a parameter twice", twice("water"), http.StatusUnprocessableEntity, "/water/4"},
	{"no water", fixture.Set([]any{}, "water"), http.StatusUnprocessableEntity, "/water"},
	{"shares above one", fixture.Set(0.9, "zones", "surface"), http.StatusUnprocessableEntity, "/zones"},
	{"no zones", without("zones"), http.StatusUnprocessableEntity, "/zones"},
	{"a guild that is none", fixture.Set("vegan", "feeding_guild"), http.StatusUnprocessableEntity, "/feeding_guild"},
	{"a need that is none", fixture.Set([]any{"sand", "music"}, "needs"), http.StatusUnprocessableEntity, "/needs/1"},
	{"a need twice", twice("needs"), http.StatusUnprocessableEntity, "/needs/1"},
	{"a caution that is none", fixture.Set([]any{map[string]any{"code": "ugly"}}, "cautions"), http.StatusUnprocessableEntity, "/cautions/0"},
	{"a family that is none", fixture.Set("Danios", "family"), http.StatusUnprocessableEntity, "/family"},
	{"another id", fixture.Set("danio-kerri", "id"), http.StatusUnprocessableEntity, "/id"},
	{"a renamed entry", fixture.Set("Danio kerri", "scientific_name"), http.StatusUnprocessableEntity, "/scientific_name"},
	{"a name that makes no id", fixture.Set("鯉 魚", "scientific_name"), http.StatusUnprocessableEntity, "/scientific_name"},
	{"another's accepted name as a synonym", fixture.Set([]any{"Danio frankei", "Puntigrus tetrazona"}, "synonyms"), http.StatusUnprocessableEntity, "/synonyms/1"},
	{"its own name as a synonym", fixture.Set([]any{"Danio rerio"}, "synonyms"), http.StatusUnprocessableEntity, "/synonyms/0"},
	{"another's name", fixture.Set([]any{map[string]any{"language": "en", "names": []any{"Oscar"}}}, "names"), http.StatusUnprocessableEntity, "/names/0/names/0"},
	{"a word for several as a name", fixture.Set([]any{map[string]any{"language": "en", "names": []any{"Zebra danio", "Tetra"}}}, "names"), http.StatusUnprocessableEntity, "/names/0/names/1"},
	{"a language that is none", fixture.Set("English", "names", 0, "language"), http.StatusUnprocessableEntity, "/names/0"},
	{"a language twice", twice("names"), http.StatusUnprocessableEntity, "/names/7"},
	{"a formula for a note", fixture.Set("=1+1", "note"), http.StatusUnprocessableEntity, "/note"},
	{"a note of two lines", fixture.Set("a\nb", "note"), http.StatusUnprocessableEntity, "/note"},
	{"a note with blanks around", fixture.Set(" a ", "note"), http.StatusUnprocessableEntity, "/note"},
	{"a note without end", fixture.Set(strings.Repeat("ä", 1500), "note"), http.StatusUnprocessableEntity, "/note"},
	{"a note without any end", fixture.Set(strings.Repeat("a", 2001), "note"), http.StatusUnprocessableEntity, "/note"},
	{"a form without a parent", fixture.Set("longfin", "form"), http.StatusUnprocessableEntity, "/scientific_name"},
	{"a parent without a form", fixture.Set("betta-splendens", "form_of"), http.StatusUnprocessableEntity, "/form"},
	{"a reason for what is not unusual", fixture.Set([]any{map[string]any{"field": "ph", "reason": "so"}}, "reviewed"), http.StatusUnprocessableEntity, "/reviewed/0"},
	{"a reason twice", fixture.Set([]any{map[string]any{"field": "flow", "reason": "so"}, map[string]any{"field": "flow", "reason": "so"}}, "reviewed"), http.StatusUnprocessableEntity, "/reviewed/1"},
	{"a source that nothing cites", fixture.Set([]any{map[string]any{"key": "k", "citation": "c"}}, "sources"), http.StatusUnprocessableEntity, "/sources/0"},
	{"a key of blanks", func(e map[string]any) {
		e["basis"], e["sources"] = "source:a b", []any{map[string]any{"key": "a b", "citation": "c"}}
	}, http.StatusUnprocessableEntity, "/sources/0"},
}

func TestBadEntriesAreRefused(t *testing.T) {
	c := newCurator(t)
	before := c.revision()
	for _, x := range badEntries {
		t.Run(x.name, func(t *testing.T) {
			c.Witness.T, c.T = t, t
			entry, _ := c.entry("danio-rerio")
			x.change(entry)
			a := c.put("danio-rerio", entry, apitest.IfMatch("*")...)
			p := apitest.ProblemIn(t, a)
			if a.Code != x.status {
				t.Fatalf("%d, want %d: %s", a.Code, x.status, a.Body)
			}
			if !slices.ContainsFunc(*p.Errors, func(e gen.FieldError) bool { return e.Pointer == x.pointer && e.Detail != "" }) {
				t.Errorf("want an error at %s: %s", x.pointer, a.Body)
			}
		})
	}
	if c.Witness.T, c.T = t, t; c.revision() != before {
		t.Error("something was written")
	}
}

func TestMalformedEntriesAreRefused(t *testing.T) {
	c := newCurator(t)
	for name, body := range map[string]string{"nothing": "", "a list": "[]", "null": "null", "a text": `"danio"`, "half an object": `{"note":`,
		"a field twice": `{"note":"a","note":"b"}`, "broken UTF-8": "{\"note\":\"\xff\"}", "a NUL": `{"note":"\u0000"}`,
		"a number beyond all": `{"traits":[{"low":1e999}]}`, "two values": "{}{}"} {
		apitest.WantProblem(t, name, c.putText("danio-rerio", body, apitest.IfMatch("*")...), http.StatusBadRequest, respond.MalformedBody)
	}
}

func TestARemarkIsToldAndCanBeAnswered(t *testing.T) {
	c := newCurator(t)
	entry, _ := c.entry("danio-rerio")
	fixture.Set(900.0, "traits", 4, "high")(entry) // maturity of 75 years is refused,
	if a := c.put("danio-rerio", entry, apitest.IfMatch("*")...); a.Code != http.StatusUnprocessableEntity {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	fixture.Set(6.0, "traits", 4, "high")(entry)
	delete(entry, "colours") // and no colours are unusual
	got := apitest.Body[gen.SpeciesChange](t, c.put("danio-rerio", entry, apitest.IfMatch("*")...), http.StatusOK)
	i := slices.IndexFunc(got.ToReview, func(r gen.ReviewRemark) bool { return r.Field == "colours" })
	if i < 0 || got.ToReview[i].Species != "danio-rerio" || wire.Value(got.ToReview[i].Pointer) != "/colours" {
		t.Fatalf("%+v", got.ToReview)
	}
	entry["reviewed"] = []any{map[string]any{"field": "colours", "reason": "transparent strain"}}
	got = apitest.Body[gen.SpeciesChange](t, c.put("danio-rerio", entry, apitest.IfMatch("*")...), http.StatusOK)
	if slices.ContainsFunc(got.ToReview, func(r gen.ReviewRemark) bool { return r.Field == "colours" }) {
		t.Errorf("it is asked again: %+v", got.ToReview)
	}
	if now, _ := c.entry("danio-rerio"); now["reviewed"] == nil {
		t.Error("the reason is not told")
	}
}

// What a new name takes away from another entry is told although the field is not ours.
func TestANameThatIsTakenFromAnotherEntryIsTold(t *testing.T) {
	c := newCurator(t)
	entry := c.another()
	entry["scientific_name"] = "Brachydanio rerio" // a synonym of the zebra danio
	a := c.put("brachydanio-rerio", entry, ifNew...)
	apitest.WantProblem(t, "a synonym of another", a, http.StatusUnprocessableEntity, respond.ImpossibleValue)
	if !strings.Contains(a.Body.String(), "danio-rerio: synonyms") {
		t.Errorf("it does not say whose: %s", a.Body)
	}
}

// busy holds the catalogue as a load under way does, while do runs.
func (c *curator) busy(do func()) {
	c.T.Helper()
	conn, err := pgx.Connect(c.T.Context(), c.DSN)
	if err == nil {
		defer conn.Close(c.T.Context())
		_, err = conn.Exec(c.T.Context(), `SELECT pg_advisory_lock(x'6361746c'::bigint)`)
	}
	if err != nil {
		c.T.Fatal(err)
	}
	do()
}

func TestAChangeDoesNotWaitForALoadForEver(t *testing.T) {
	c := newCurator(t)
	older := c.Catalogue()
	entry, _ := c.entry("danio-rerio")
	entry["note"] = "Late."
	c.busy(func() {
		for what, a := range map[string]apitest.Answer{
			"put":     c.put("danio-rerio", entry, apitest.IfMatch("*")...),
			"delete":  c.Do(http.MethodDelete, "/v1/species/danio-rerio", "", apitest.With(c.key, apitest.IfMatch("*"))...),
			"restore": c.Post(fmt.Sprintf("/v1/revisions/%d/restore", older), "{}", c.key...),
		} {
			apitest.WantProblem(t, what, a, http.StatusConflict, respond.RequestUnderWay)
		}
	})
	if a := c.put("danio-rerio", entry, apitest.IfMatch("*")...); a.Code != http.StatusOK {
		t.Errorf("afterwards: %d %s", a.Code, a.Body)
	}
}
