package lookups_test

import (
	"net/http"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
)

// badQuery is a query that is refused, with the problem and where it points.
type badQuery struct {
	name, query string
	status      int
	slug        respond.Slug
	pointer     string
}

func checkBadQueries(t *testing.T, path string, table []badQuery) {
	t.Helper()
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, c := range table {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			a := w.Get(path + "?" + c.query)
			p := apitest.ProblemIn(t, a)
			if a.Code != c.status || p.Type != "/problems/"+string(c.slug) {
				t.Fatalf("status %d, type %s; want %d, %s: %s", a.Code, p.Type, c.status, c.slug, a.Body)
			}
			if c.pointer == "" {
				return
			}
			if p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer {
				t.Fatalf("want an error at %s: %s", c.pointer, a.Body)
			}
			if e := (*p.Errors)[0]; e.Fix == nil || *e.Fix == "" || e.Detail == "" {
				t.Errorf("no fix or detail: %s", a.Body)
			}
		})
	}
}

func TestBadPairingQueriesAreRefused(t *testing.T) {
	const bad, not = http.StatusBadRequest, http.StatusUnprocessableEntity
	checkBadQueries(t, apitest.OscarNeon, []badQuery{
		{"a tank without a unit", "tank=120x50x50", bad, respond.MalformedParameter, "/query/tank"},
		{"a tank of two sides", "tank=120x50cm", bad, respond.MalformedParameter, "/query/tank"},
		{"a tank of words", "tank=big", bad, respond.MalformedParameter, "/query/tank"},
		{"a tank of nothing", "tank=", bad, respond.MalformedParameter, "/query/tank"},
		{"a tank text over 64 characters", "tank=" + strings.Repeat("1", 70) + "cm", bad, respond.MalformedParameter, "/query/tank"},
		{"a tank a kilometre long", "tank=1000x1x1m", not, respond.ImpossibleValue, "/query/tank"},
		{"a tank beyond a kilometre", "tank=9000x9000x9000m", not, respond.ImpossibleValue, "/query/tank"},
		{"a tank of no height", "tank=120x50x0cm", not, respond.ImpossibleValue, "/query/tank"},
		{"a tank of negative length", "tank=-120x50x50cm", not, respond.ImpossibleValue, "/query/tank"},
		{"a tank of negative nonsense", "tank=-abc", bad, respond.MalformedParameter, "/query/tank"},
		{"a tank of 4 cm", "tank=4x50x50cm", not, respond.ImpossibleValue, "/query/tank"},
		{"two tanks", "tank=120x50x50cm&tank=60x30x30cm", bad, respond.MalformedParameter, "/query/tank"},
		{"a temperature in words", "temperature_c=warm", bad, respond.MalformedParameter, "/query/temperature_c"},
		{"a temperature with a comma", "temperature_c=25,5", bad, respond.MalformedParameter, "/query/temperature_c"},
		{"a temperature with an exponent", "temperature_c=2e1", bad, respond.MalformedParameter, "/query/temperature_c"},
		{"a temperature of NaN", "temperature_c=NaN", bad, respond.MalformedParameter, "/query/temperature_c"},
		{"a temperature in metres", "temperature_c=25m", bad, respond.MalformedParameter, "/query/temperature_c"},
		{"a temperature of 200 °C", "temperature_c=200", not, respond.ImpossibleValue, "/query/temperature_c"},
		{"a temperature of 46 °C", "temperature_c=46", not, respond.ImpossibleValue, "/query/temperature_c"},
		{"a temperature below freezing", "temperature_c=-4", not, respond.ImpossibleValue, "/query/temperature_c"},
		{"a temperature with a plus", "temperature_c=%2B25", bad, respond.MalformedParameter, "/query/temperature_c"},
		{"a pH of 15", "ph=15", not, respond.ImpossibleValue, "/query/ph"},
		{"a pH of 2.9", "ph=2.9", not, respond.ImpossibleValue, "/query/ph"},
		{"a negative pH", "ph=-7", not, respond.ImpossibleValue, "/query/ph"},
		{"a pH with a unit", "ph=7pH", bad, respond.MalformedParameter, "/query/ph"},
		{"a hardness of 200", "gh_dh=200", not, respond.ImpossibleValue, "/query/gh_dh"},
		{"a hardness in °F", "gh_dh=10F", bad, respond.MalformedParameter, "/query/gh_dh"},
		{"a salinity of 50", "salinity_ppt=50", not, respond.ImpossibleValue, "/query/salinity_ppt"},
		{"a salinity in words", "salinity_ppt=sea", bad, respond.MalformedParameter, "/query/salinity_ppt"},
		{"a cover above 1", "cover=1.01", not, respond.ImpossibleValue, "/query/cover"},
		{"a negative cover", "cover=-0.1", not, respond.ImpossibleValue, "/query/cover"},
		{"a cover in words", "cover=dense", bad, respond.MalformedParameter, "/query/cover"},
		{"an infinite cover", "cover=Infinity", bad, respond.MalformedParameter, "/query/cover"},
		{"a hexadecimal cover", "cover=0x1p-2", bad, respond.MalformedParameter, "/query/cover"},
		{"a cover with an exponent", "cover=1e-1", bad, respond.MalformedParameter, "/query/cover"},
		{"no fish", "first_count=0", not, respond.ImpossibleValue, "/query/first_count"},
		{"minus two fish", "second_count=-2", not, respond.ImpossibleValue, "/query/second_count"},
		{"1,001 fish", "first_count=1001", not, respond.ImpossibleValue, "/query/first_count"},
		{"more fish than a number holds", "first_count=99999999999999999999", not, respond.ImpossibleValue, "/query/first_count"},
		{"half a fish", "first_count=2.5", bad, respond.MalformedParameter, "/query/first_count"},
		{"a third sex", "first_sex=both", bad, respond.MalformedParameter, "/query/first_sex"},
		{"a sex in capitals", "second_sex=Male", bad, respond.MalformedParameter, "/query/second_sex"},
		{"a fish of six metres", "first_length_cm=6m", not, respond.ImpossibleValue, "/query/first_length_cm"},
		{"a fish of no length", "second_length_cm=0", not, respond.ImpossibleValue, "/query/second_length_cm"},
		{"a fish length in litres", "second_length_cm=4l", bad, respond.MalformedParameter, "/query/second_length_cm"},
		{"units of nowhere", "units=metric", bad, respond.MalformedParameter, "/query/units"},
		{"an unknown parameter", "temprature_c=25", bad, respond.UnknownParameter, "/query/temprature_c"},
		{"a parameter in capitals", "TANK=120x50x50cm", bad, respond.UnknownParameter, "/query/TANK"},
		{"a parameter like no other", "colour=blue", bad, respond.UnknownParameter, "/query/colour"},
		{"a parameter without a name", "=5", bad, respond.UnknownParameter, "/query/"},
		{"a broken percent sign", "tank=%zz", bad, respond.MalformedParameter, ""},
		{"a semicolon", "cover=1;ph=7", bad, respond.MalformedParameter, ""},
		{"broken UTF-8", "tank=%ff%fe", bad, respond.MalformedParameter, "/query/tank"},
		{"a NUL", "tank=120x50x50cm%00", bad, respond.MalformedParameter, "/query/tank"},
		{"a NUL in a parameter's name", "ta%00nk=1", bad, respond.UnknownParameter, "/query/ta\uFFFDnk"},
		{"a new line", "ph=7%0a", bad, respond.MalformedParameter, "/query/ph"},
	})
}

// What may be written instead is told: sides where sides were begun, else sides or a volume.
func TestATankThatCannotBeReadIsAnsweredWithWhatCan(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for text, volume := range map[string]bool{"big": true, "54": true, "120x50cm": false} {
		p := apitest.ProblemIn(t, w.Get(apitest.OscarNeon+"?tank="+text))
		if fix := *(*p.Errors)[0].Fix; !strings.Contains(fix, "120x45x50cm") || strings.Contains(fix, "54L") != volume {
			t.Errorf("%s: %s", text, fix)
		}
	}
}

// Where nothing is like a name, nobody is told to choose.
func TestANameLikeNoOtherIsNotAnsweredWithAChoice(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for name, choice := range map[string]bool{"zzzzqqqq": false, "oscarr": true} {
		p := apitest.ProblemIn(t, w.Get("/v1/species/"+name))
		if e := (*p.Errors)[0]; strings.HasPrefix(*e.Fix, "choose") != choice || (e.Candidates != nil && len(*e.Candidates) > 0) != choice {
			t.Errorf("%s: %+v", name, e)
		}
	}
}

func TestAMisspeltParameterIsAnsweredWithTheNearestOne(t *testing.T) {
	p := apitest.ProblemIn(t, apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t))).Get(apitest.OscarNeon+"?temprature_c=25"))
	if e := (*p.Errors)[0]; *e.Fix != "did you mean temperature_c?" || !strings.Contains(e.Detail, "temprature_c") {
		t.Errorf("%+v", e)
	}
	p = apitest.ProblemIn(t, apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t))).Get("/v1/species/oscar?lang=de"))
	if e := (*p.Errors)[0]; *e.Fix != "this path takes no query parameters" {
		t.Errorf("%+v", e)
	}
}

func TestNamesInThePath(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, c := range []struct {
		name, first string
		status      int
		slug        respond.Slug
		candidate   string // the first, "" for none
	}{
		{"an unknown name has near matches", "oscarr", 404, respond.UnknownSpecies, "astronotus-ocellatus"},
		{"a name like no other has none", "qqqqqqqqqq", 404, respond.UnknownSpecies, ""},
		{"a trade word lists what it may mean", "tetra", 422, respond.AmbiguousSpecies, "paracheirodon-innesi"},
		{"a genus lists its species", "Paracheirodon", 422, respond.AmbiguousSpecies, "paracheirodon-axelrodi"},
		{"broken UTF-8 is no name", "%ff%fe", 400, respond.MalformedParameter, ""},
		{"a NUL is no name", "oscar%00", 400, respond.MalformedParameter, ""},
		{"a tab is no name", "a%09b", 400, respond.MalformedParameter, ""},
		{"spaces are no name", "%20%20", 400, respond.MalformedParameter, ""},
		{"punctuation is no name", "---", 400, respond.MalformedParameter, ""},
		{"201 letters are no name", strings.Repeat("a", 201), 400, respond.MalformedParameter, ""},
		{"70 wide characters are no name", strings.Repeat("%E9%B1%BC", 70), 400, respond.MalformedParameter, ""},
		{"an escaped percent sign is looked up", "100%25", 404, respond.UnknownSpecies, ""},
		{"an escaped escape is not undone twice", "%2500", 404, respond.UnknownSpecies, ""},
		{"an escaped slash does not part the path", "os%2Fcar", 404, respond.UnknownSpecies, "astronotus-ocellatus"},
		{"another animal is named", "axolotl", 404, respond.NotAFish, ""},
		{"another animal with a slip", "fire-belied%20newt", 404, respond.NotAFish, ""},
		{"a plant is no animal", "java%20fern", 404, respond.NotAFish, ""},
		{"dots are no name", "%2e%2e", 400, respond.MalformedParameter, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			for _, target := range []string{"/v1/species/" + c.first, "/v1/species/" + c.first + "/pairings", "/v1/pairings/" + c.first + "/oscar"} {
				a := w.Get(target)
				p := apitest.ProblemIn(t, a)
				if a.Code != c.status || p.Type != "/problems/"+string(c.slug) {
					t.Fatalf("%s: %d %s, want %d %s: %s", target, a.Code, p.Type, c.status, c.slug, a.Body)
				}
				if c.candidate == "" {
					continue
				}
				if e := (*p.Errors)[0]; e.Candidates == nil || (*e.Candidates)[0].Id != c.candidate {
					t.Errorf("%s: candidates %s", target, a.Body)
				}
			}
		})
	}
}

func TestAnAnimalThatIsNoFishIsSaidToBeSo(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for name, want := range map[string]string{
		"axolotl":                 `"axolotl" must live in a cold tank without fish: an axolotl eats what fits its mouth, and fish nip its gills.`,
		"african%20dwarf%20frogs": `"african dwarf frogs" must live in a tank without fish: dwarf frogs starve beside quick eaters, and big fish eat them.`,
		"Cynops%20orientalis":     `"Cynops orientalis" must live in a cool tank without fish: the skin of these newts is toxic, and they snap at fish.`,
		"turtel":                  `"turtel" (turtle) must live without fish, in a large tank with land and a lamp: turtles eat fish and foul their water.`,
		"seahorse":                `"seahorse" is an animal of the sea and not covered: it cannot live in fresh water.`,
	} {
		p := apitest.ProblemIn(t, w.Get("/v1/species/"+name))
		if e := (*p.Errors)[0]; e.Detail != want || e.Candidates != nil || e.Fix == nil || e.Pointer != "/path/species" || !strings.Contains(p.Detail, want) {
			t.Errorf("%s: %q %+v", name, p.Detail, e)
		}
	}
	p := apitest.ProblemIn(t, w.Get("/v1/pairings/axolotl/oscarr")) // what is not known at all is the graver
	if p.Type != "/problems/unknown-species" || len(*p.Errors) != 2 {
		t.Errorf("%+v", p)
	}
}

func TestBothBadNamesAreTold(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	a := w.Get("/v1/pairings/oscarr/tetra")
	p := apitest.ProblemIn(t, a)
	if a.Code != 404 || len(*p.Errors) != 2 || (*p.Errors)[1].Pointer != "/path/second" {
		t.Errorf("%d %s", a.Code, a.Body)
	}
}

// FuzzQuery holds that no query string is a fault of the service.
func FuzzQuery(f *testing.F) {
	for _, seed := range []string{"tank=120x50x50cm&ph=7", "ph=%31&ph=2", "%", "a=b;c", "cover=1e999", "limit=-0", "first_count=00", "tank=\xff"} {
		f.Add(seed)
	}
	s := apitest.ServerOf(f, fixture.Few(f))
	f.Fuzz(func(t *testing.T, query string) {
		for _, path := range []string{apitest.OscarNeon, "/v1/species", "/v1/species/oscar/pairings"} {
			r := apitest.NewRequest(t, "GET", path, "")
			r.URL.RawQuery = query
			if a := apitest.Ask(t, s).Send(r); a.Code >= 500 {
				t.Errorf("%s?%s: %d", path, query, a.Code)
			}
		}
	})
}

func TestBadSpeciesListQueriesAreRefused(t *testing.T) {
	const bad, not = http.StatusBadRequest, http.StatusUnprocessableEntity
	checkBadQueries(t, "/v1/species", []badQuery{
		{"an empty search", "q=", bad, respond.MalformedParameter, "/query/q"},
		{"a search over 200 characters", "q=" + strings.Repeat("a", 201), bad, respond.MalformedParameter, "/query/q"},
		{"an empty family", "family=", bad, respond.MalformedParameter, "/query/family"},
		{"a zone that is none", "zone=top", bad, respond.MalformedParameter, "/query/zone"},
		{"a temperament that is none", "temperament=nice", bad, respond.MalformedParameter, "/query/temperament"},
		{"a temperature of 200 °C", "temperature_c=200C", not, respond.ImpossibleValue, "/query/temperature_c"},
		{"a pH of 15", "ph=15", not, respond.ImpossibleValue, "/query/ph"},
		{"a length of nothing", "max_length_cm=0", not, respond.ImpossibleValue, "/query/max_length_cm"},
		{"a length without a number", "max_length_cm=in", bad, respond.MalformedParameter, "/query/max_length_cm"},
		{"no entries on a page", "limit=0", not, respond.ImpossibleValue, "/query/limit"},
		{"201 entries on a page", "limit=201", not, respond.ImpossibleValue, "/query/limit"},
		{"a limit in words", "limit=all", bad, respond.MalformedParameter, "/query/limit"},
		{"a limit twice", "limit=1&limit=2", bad, respond.MalformedParameter, "/query/limit"},
		{"a cursor of garbage", "cursor=xyz", bad, respond.InvalidCursor, "/query/cursor"},
		{"a cursor that is not base64", "cursor=%21%21", bad, respond.InvalidCursor, "/query/cursor"},
		{"a cursor without end", "cursor=" + strings.Repeat("A", 513), bad, respond.MalformedParameter, "/query/cursor"},
		{"a misspelt parameter", "familly=Cichlidae", bad, respond.UnknownParameter, "/query/familly"},
	})
}

func TestAllThatIsWrongIsToldAtOnce(t *testing.T) {
	p := apitest.ProblemIn(t, apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t))).Get(apitest.OscarNeon+"?ph=15&temperature_c=200&gh_dh=x"))
	if p.Errors == nil || len(*p.Errors) != 3 || p.Status != http.StatusBadRequest {
		t.Errorf("%+v", p)
	}
	p = apitest.ProblemIn(t, apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t))).Get(apitest.OscarNeon+"?first_sex=x&cover=2&bogus=1"))
	if p.Errors == nil || len(*p.Errors) != 3 {
		t.Errorf("%+v", p)
	}
}
