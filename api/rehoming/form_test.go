package rehoming_test

import (
	"encoding/json"
	"net/http"
	"path"
	"slices"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

func formOf(t *testing.T, w *apitest.Witness, body string) gen.AdopterFormRead {
	t.Helper()
	return apitest.Body[gen.AdopterFormRead](t, w.Post("/v1/adopters/forms", body), http.StatusOK)
}

// codes are the codes of what was assumed.
func codes(f *gen.AdopterFormRead) (out []string) {
	for _, a := range f.Assumed {
		out = append(out, a.Code)
	}
	return out
}

func TestAFormBecomesATankForPlacementsAndForTheStore(t *testing.T) {
	full := fixture.Full(t)
	k := apitest.NewTankOwner(t, func(c *api.Config) { c.Book = func() *conflict.Book { return full } })
	f := formOf(t, k.Witness, `{"label":"Mill Lane","external_ref":"A-18","tank":"112 L","lives_there":"12 neon tetras, female betta, bronze corydoras","lid":true,"heater":false,"filter":true,"filter_months":8,"floor":"sand","planted":true,
		"wishes":{"wanted":["panda cory"],"at_most":8}}`)
	if got := codes(&f); !slices.Equal(got, []string{"assumed.shape", "assumed.count", "assumed.count", "assumed.room_temperature"}) || len(f.Ask) != 0 || f.Decision == nil {
		t.Errorf("%v, asked %v, %+v", got, f.Ask, f)
	}
	lines := *f.Tank.Residents
	if lines[0].Species != "paracheirodon-innesi" || *lines[0].Count != 12 || *lines[1].Sex != gen.Female || lines[2].Count == nil || (*f.Tank.Wishes.Wanted)[0] != "hoplisoma-panda" {
		t.Errorf("%+v", f.Tank)
	}
	if string(*f.Tank.Tank.TemperatureC) != "20" || string(*f.Tank.Tank.VolumeL) != "112" || !*f.Tank.Tank.FilterMature || !*f.Tank.Tank.Planted || *f.Tank.Tank.Substrate != "sand" {
		t.Errorf("%+v", f.Tank.Tank)
	}
	text, err := json.Marshal(f.Tank)
	if err != nil {
		t.Fatal(err)
	}
	p := apitest.Body[gen.Placements](t, k.Post("/v1/placements", `{"incoming":[{"species":"panda cory","count":6}],"tanks":[`+string(text)+`]}`), http.StatusOK)
	if o := p.Arrivals[0].Options[0]; *o.Label != "Mill Lane" || o.Wanted == nil || !*o.Wanted {
		t.Errorf("%+v", o)
	}
	tank := k.Tank(string(text))
	stored := apitest.Body[gen.Tank](t, k.Get(tank, k.Key...), http.StatusOK)
	if *stored.Label != "Mill Lane" || *stored.Wishes.AtMost != 8 || len(path.Base(tank)) < 30 {
		t.Errorf("%+v", stored)
	}
}

func TestWhatAFormDoesNotSayIsAskedOrNamed(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	blank := formOf(t, w, `{}`)
	var asked []string
	for _, q := range blank.Ask {
		if !strings.HasSuffix(q.Question, "?") {
			t.Errorf("%+v", q)
		}
		asked = append(asked, q.Field)
	}
	if !slices.Equal(asked, []string{"tank", "temperature_c", "lid", "filter"}) || len(blank.Assumed) != 0 || blank.Decision != nil || blank.Summary != "Nobody lives there yet." {
		t.Errorf("%v %+v", asked, blank)
	}
	f := formOf(t, w, `{"tank":54,"heater":true,"temperature_c":"77F","lid":false,"filter":false,"residents":[{"species":"oscar","count":1}]}`)
	if !slices.Equal(codes(&f), []string{"assumed.shape", "assumed.no_filter"}) || *f.Decision != gen.Hold || *f.Tank.Tank.FilterMature || *f.Tank.Tank.Lid || len(f.Ask) != 0 {
		t.Errorf("%+v", f)
	}
	if us := apitest.Body[gen.AdopterFormRead](t, w.Post("/v1/adopters/forms?units=us", `{"tank":"20 gal","heater":false}`), http.StatusOK); !strings.Contains(us.Assumed[1].Summary, "°F") {
		t.Errorf("%+v", us.Assumed)
	}
	if empty := formOf(t, w, `{"tank":"about 30 gallons","lives_there":"Nothing yet."}`); empty.Summary != blank.Summary || empty.Tank.Residents != nil || !strings.HasPrefix(string(*empty.Tank.Tank.VolumeL), "113") {
		t.Errorf("%+v", empty)
	}
	sides := formOf(t, w, `{"tank":"24x12x16in","filter":true,"filter_months":1.5,"ph":7.2,"gh_dh":8}`)
	if *sides.Tank.Tank.Size != "61x30.5x40.6cm" && *sides.Tank.Tank.Size != "60.96x30.48x40.64cm" || *sides.Tank.Tank.FilterMature {
		t.Errorf("%+v", *sides.Tank.Tank.Size)
	}
}

// A word that may mean several kinds is settled by the length, where only one of them grows so long.
func TestTheLengthSettlesWhichKindAWordMeans(t *testing.T) {
	full := fixture.Full(t)
	w := apitest.Ask(t, apitest.ServerOf(t, full))
	label, err := full.Snapshot.ReadLabel("pleco")
	if err != nil || label.Clear() {
		t.Fatalf("pleco is clear: %v %+v", err, label)
	}
	a := w.Post("/v1/adopters/forms", `{"lives_there":"1 pleco"}`)
	apitest.WantProblem(t, "without a length", a, http.StatusUnprocessableEntity, respond.AmbiguousSpecies)
	longest, second := 0.0, 0.0
	id := ""
	for _, m := range label.Meanings {
		switch high := full.Snapshot.At(m.Index).Traits[species.Length].High; {
		case high > longest:
			longest, second, id = high, longest, string(full.Snapshot.At(m.Index).ID)
		case high > second:
			second = high
		}
	}
	if longest == second {
		t.Fatal("two plecos grow to the same length: take another word")
	}
	f := formOf(t, w, `{"residents":[{"species":"pleco","count":1,"length_cm":`+jsonOf(t, (longest+second)/2)+`}]}`)
	if (*f.Tank.Residents)[0].Species != id || codes(&f)[0] != "assumed.by_size" || *f.Assumed[0].Species != id {
		t.Errorf("%+v", f)
	}
}

func jsonOf(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestABadFormIsRefusedWithEveryFault(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, c := range []struct {
		name, body string
		status     int
		slug       respond.Slug
		pointers   []string
	}{
		{"no tank", `{"tank":"large"}`, 422, respond.ImpossibleValue, []string{"/tank"}},
		{"a blank", `{"tank":" "}`, 422, respond.ImpossibleValue, []string{"/tank"}},
		{"a pond in millimetres", `{"tank":"1x1x1mm"}`, 422, respond.ImpossibleValue, []string{"/tank"}},
		{"a filter that is none", `{"filter":false,"filter_months":3}`, 422, respond.ImpossibleValue, []string{"/filter_months"}},
		{"hot water and no such fish", `{"temperature_c":200,"lives_there":"3 nothing like it","residents":[{"species":"oscar","length_cm":900}]}`, 422, respond.ImpossibleValue,
			[]string{"/residents/0/length_cm", "/temperature_c", "/lives_there"}},
		{"too many fish", `{"lives_there":"99999 guppies"}`, 422, respond.ImpossibleValue, []string{"/lives_there"}},
		{"a wish for and against", `{"wishes":{"wanted":["oscar"],"not_wanted":["astronotus-ocellatus"]}}`, 422, respond.ImpossibleValue, []string{"/wishes/not_wanted/0"}},
		{"two numbers", `{"wishes":{"at_most_of":[{"species":"oscar","count":1},{"species":"Oscar","count":2}]}}`, 422, respond.ImpossibleValue, []string{"/wishes/at_most_of/1/species"}},
		{"a yes", `{"lid":"yes"}`, 400, respond.MalformedBody, []string{"/lid"}},
		{"an unknown question", `{"lids":true}`, 400, respond.MalformedBody, []string{"/lids"}},
		{"101 lines", `{"lives_there":"guppy","residents":[` + strings.TrimSuffix(strings.Repeat(`{"species":"oscar"},`, 100), ",") + `]}`, 422, respond.ImpossibleValue, []string{"/residents"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			a := w.Post("/v1/adopters/forms", c.body)
			apitest.WantProblem(t, c.name, a, c.status, c.slug)
			var pointers []string
			for _, e := range *apitest.ProblemIn(t, a).Errors {
				pointers = append(pointers, e.Pointer)
			}
			if !slices.Equal(pointers, c.pointers) {
				t.Errorf("%v, want %v: %s", pointers, c.pointers, a.Body)
			}
		})
	}
}
