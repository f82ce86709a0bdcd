package lists_test

import (
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
)

func TestBadChecksAreRefusedWithEveryFault(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	line := `{"species":"oscar"}`
	many := func(n int) string { return strings.TrimSuffix(strings.Repeat(line+",", n), ",") }
	for _, c := range []struct {
		name, body string
		status     int
		slug       respond.Slug
		pointers   []string
	}{
		{"an empty list", `{"residents":[]}`, 422, respond.ImpossibleValue, []string{"/residents"}},
		{"two empty lists", `{"residents":[],"incoming":[]}`, 422, respond.ImpossibleValue, []string{"/residents"}},
		{"no list", `{}`, 422, respond.ImpossibleValue, []string{"/residents"}},
		{"201 residents", `{"residents":[` + many(201) + `]}`, 422, respond.ImpossibleValue, []string{"/residents"}},
		{"201 lines in two lists", `{"residents":[` + many(101) + `],"incoming":[` + many(100) + `]}`, 422, respond.ImpossibleValue, []string{"/residents"}},
		{"no fish", `{"residents":[{"species":"oscar","count":0}]}`, 422, respond.ImpossibleValue, []string{"/residents/0/count"}},
		{"minus three fish", `{"residents":[` + line + `,{"species":"oscar","count":-3}]}`, 422, respond.ImpossibleValue, []string{"/residents/1/count"}},
		{"two and a half fish", `{"residents":[{"species":"oscar","count":2.5}]}`, 400, respond.MalformedBody, []string{"/residents/0/count"}},
		{"1,001 fish", `{"residents":[{"species":"oscar","count":1001}]}`, 422, respond.ImpossibleValue, []string{"/residents/0/count"}},
		{"more fish than a number holds", `{"residents":[{"species":"oscar","count":1e300}]}`, 422, respond.ImpossibleValue, []string{"/residents/0/count"}},
		{"a count in words", `{"residents":[{"species":"oscar","count":"two"}]}`, 400, respond.MalformedBody, []string{"/residents/0/count"}},
		{"a line that is a name", `{"residents":["oscar"]}`, 400, respond.MalformedBody, []string{"/residents/0"}},
		{"a line without a species", `{"residents":[{"count":2}]}`, 400, respond.MalformedBody, []string{"/residents/0/species"}},
		{"an unknown field", `{"residents":[{"species":"oscar","colour":"red"}]}`, 400, respond.MalformedBody, []string{"/residents/0/colour"}},
		{"a fish of six metres", `{"residents":[{"species":"oscar","length_cm":600}]}`, 422, respond.ImpossibleValue, []string{"/residents/0/length_cm"}},
		{"a fish of no length", `{"residents":[{"species":"oscar","length_cm":0}]}`, 422, respond.ImpossibleValue, []string{"/residents/0/length_cm"}},
		{"a fish of minus 3 cm", `{"residents":[{"species":"oscar","length_cm":-3}]}`, 422, respond.ImpossibleValue, []string{"/residents/0/length_cm"}},
		{"a length in litres", `{"incoming":[{"species":"oscar","length_cm":"3l"}],"residents":[]}`, 400, respond.MalformedBody, []string{"/incoming/0/length_cm"}},
		{"a length that is a list", `{"residents":[{"species":"oscar","length_cm":[3]}]}`, 400, respond.MalformedBody, []string{"/residents/0/length_cm"}},
		{"an empty length", `{"residents":[{"species":"oscar","length_cm":""}]}`, 422, respond.ImpossibleValue, []string{"/residents/0/length_cm"}},
		{"a third sex", `{"residents":[{"species":"oscar","sex":"both"}]}`, 400, respond.MalformedBody, []string{"/residents/0/sex"}},
		{"a negative age", `{"residents":[{"species":"oscar","age_months":-1}]}`, 422, respond.ImpossibleValue, []string{"/residents/0/age_months"}},
		{"a mood that is none", `{"residents":[{"species":"oscar","disposition":"sweet"}]}`, 400, respond.MalformedBody, []string{"/residents/0/disposition"}},
		{"a weight of nothing", `{"residents":[{"species":"oscar","weight":0}]}`, 422, respond.ImpossibleValue, []string{"/residents/0/weight"}},
		{"a level that is none", `{"residents":[` + line + `],"wanted_level":"fine"}`, 400, respond.MalformedBody, []string{"/wanted_level"}},
		{"keeping a fish that is not there", `{"residents":[` + line + `],"keep":["oscar","guppy"]}`, 422, respond.ImpossibleValue, []string{"/keep/1"}},
		{"unknown fish beside one with several meanings", `{"residents":[{"species":"oscarr"},` + line + `,{"species":"tetra"}],"keep":["zzzz"]}`, 422, respond.UnknownSpecies,
			[]string{"/residents/0/species", "/keep/0"}},
		{"bad names beside bad values", `{"residents":[{"species":"oscarr"},{"species":"oscar","length_cm":"600cm"}]}`, 422, respond.ImpossibleValue,
			[]string{"/residents/0/species", "/residents/1/length_cm"}},
		{"bad names beside a broken contract", `{"residents":[{"species":"oscarr"},{"species":"oscar","count":0}],"incoming":[{"species":"tetraa"}]}`, 422, respond.ImpossibleValue,
			[]string{"/residents/0/species", "/residents/1/count", "/incoming/0/species"}},
		{"every line bad in its own way", `{"residents":[{"species":"oscar","count":0},{"species":"oscar","count":1.5},{"species":""},{"species":"?!"}]}`, 400, respond.MalformedBody,
			[]string{"/residents/0/count", "/residents/1/count", "/residents/2/species", "/residents/3/species"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			refused(t, w.Post("/v1/checks", c.body), c.status, c.slug, c.pointers)
		})
	}
}

func refused(t *testing.T, a apitest.Answer, status int, s respond.Slug, pointers []string) {
	t.Helper()
	p := apitest.ProblemIn(t, a)
	if a.Code != status || p.Type != "/problems/"+string(s) {
		t.Fatalf("%d %s, want %d %s: %s", a.Code, p.Type, status, s, a.Body)
	}
	var got []string
	if p.Errors != nil {
		for _, e := range *p.Errors {
			got = append(got, e.Pointer)
		}
	}
	if !apitest.SameElements(got, pointers) {
		t.Errorf("pointers %q, want %q", got, pointers)
	}
}

func TestBadTanksAreRefused(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, c := range []struct {
		name, tank string
		status     int
		pointers   []string
	}{
		{"a tank that is text", `"60x30x30cm"`, 400, []string{"/tank"}},
		{"no tank", `null`, 400, []string{"/tank"}},
		{"a size without a unit", `{"size":"60x30x30"}`, 400, []string{"/tank/size"}},
		{"a size of two sides", `{"size":"60x30cm"}`, 400, []string{"/tank/size"}},
		{"a tank a kilometre long", `{"size":"100000x30x30cm"}`, 422, []string{"/tank/size"}},
		{"a size and a side", `{"size":"60x30x30cm","length_cm":60}`, 422, []string{"/tank/length_cm"}},
		{"a size and a volume", `{"size":"60x30x30cm","volume_l":54}`, 422, []string{"/tank/volume_l"}},
		{"a length alone", `{"length_cm":60}`, 422, []string{"/tank/width_cm"}},
		{"a width alone", `{"width_cm":60,"height_cm":30}`, 422, []string{"/tank/length_cm"}},
		{"sides of nothing", `{"length_cm":0,"width_cm":-5}`, 422, []string{"/tank/length_cm", "/tank/width_cm"}},
		{"a volume of nothing", `{"volume_l":0}`, 422, []string{"/tank/volume_l"}},
		{"a volume in cm", `{"volume_l":"60cm"}`, 400, []string{"/tank/volume_l"}},
		{"water at 200 °C", `{"temperature_c":200}`, 422, []string{"/tank/temperature_c"}},
		{"a pH of 15 and a hardness of 300", `{"ph":15,"gh_dh":"300"}`, 422, []string{"/tank/ph", "/tank/gh_dh"}},
		{"a salinity in words", `{"salinity_ppt":"sea"}`, 400, []string{"/tank/salinity_ppt"}},
		{"a cover above 1", `{"cover":1.1}`, 422, []string{"/tank/cover"}},
		{"a filter that stands still", `{"turnover_per_hour":0}`, 422, []string{"/tank/turnover_per_hour"}},
		{"a weekly change of 30", `{"weekly_change":30}`, 422, []string{"/tank/weekly_change"}},
		{"a lid of glass", `{"lid":"glass"}`, 400, []string{"/tank/lid"}},
		{"a floor of marble", `{"substrate":"marble"}`, 400, []string{"/tank/substrate"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			s := respond.ImpossibleValue
			if c.status == 400 {
				s = respond.MalformedBody
			}
			refused(t, w.Post("/v1/checks", `{"tank":`+c.tank+`,"residents":[{"species":"oscar"}]}`), c.status, s, c.pointers)
		})
	}
}

func TestBadAdditionsAreRefused(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, c := range []struct {
		name, body string
		status     int
		slug       respond.Slug
		pointers   []string
	}{
		{"no list", `{}`, 400, respond.MalformedBody, []string{"/residents"}},
		{"200 lines", `{"residents":[` + strings.Repeat(`{"species":"oscar"},`, 199) + `{"species":"oscar"}]}`, 422, respond.ImpossibleValue, []string{"/residents"}},
		{"a limit of nothing", `{"residents":[],"limit":0}`, 422, respond.ImpossibleValue, []string{"/limit"}},
		{"half a limit", `{"residents":[],"limit":1.5}`, 400, respond.MalformedBody, []string{"/limit"}},
		{"a zone that is none", `{"residents":[],"filters":{"zone":"top"}}`, 400, respond.MalformedBody, []string{"/filters/zone"}},
		{"a length of nothing", `{"residents":[],"filters":{"max_length_cm":"0cm"}}`, 422, respond.ImpossibleValue, []string{"/filters/max_length_cm"}},
		{"nothing in stock", `{"residents":[],"in_stock":[]}`, 422, respond.ImpossibleValue, []string{"/in_stock"}},
		{"a price class and no stock", `{"residents":[],"filters":{"price_class":["low"]}}`, 422, respond.ImpossibleValue, []string{"/filters/price_class"}},
		{"a number in stock", `{"residents":[],"in_stock":["oscar",5]}`, 400, respond.MalformedBody, []string{"/in_stock/1"}},
		{"an unknown field in stock", `{"residents":[],"in_stock":[{"species":"oscar","price":5}]}`, 400, respond.MalformedBody, []string{"/in_stock/0"}},
		{"an unknown fish with a price class", `{"residents":[],"in_stock":[{"species":"oscarr","price_class":"low"}]}`, 422, respond.UnknownSpecies, []string{"/in_stock/0/species"}},
		{"bad names everywhere", `{"residents":[{"species":"tetra"}],"in_stock":["oscar","zzzz"],"instead_of":"oscarr"}`, 422, respond.UnknownSpecies,
			[]string{"/residents/0/species", "/in_stock/1", "/instead_of"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			refused(t, w.Post("/v1/additions", c.body), c.status, c.slug, c.pointers)
		})
	}
}

// FuzzCheck holds that no list is a fault of the service, and that every answer is in
// the contract.
func FuzzCheck(f *testing.F) {
	for _, seed := range []string{`{"residents":[{"species":"oscar","count":2}]}`, `{"tank":{"size":"60x30x30cm"},"residents":[{"species":"betta","length_cm":"2in"}]}`,
		`{"tank":{"volume_l":1e-1},"residents":[{"species":"guppy","count":1e3,"age_months":1440,"weight":0.001}]}`, `{"residents":[{"species":"oscar","length_cm":1e5}],"keep":["x"]}`} {
		f.Add(seed)
	}
	s := apitest.ServerOf(f, fixture.Few(f))
	f.Fuzz(func(t *testing.T, body string) {
		if a := apitest.Ask(t, s).Post("/v1/checks", body); a.Code >= 500 {
			t.Errorf("%s: %d", body, a.Code)
		}
	})
}
