package tanks_test

import (
	"net/http"
	"strings"
	"sync"
	"testing"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/respond"
)

func TestATankIsStoredAsItWasGiven(t *testing.T) {
	k := apitest.NewTankOwner(t)
	a := k.Post("/v1/tanks", `{"label":"Show tank 3","external_ref":"T-3","tank":{"size":"48x20x20in","temperature_c":"77F","lid":true},"residents":[{"species":"neon tetra","count":12}]}`, k.Key...)
	made := apitest.Body[gen.Tank](t, a, http.StatusCreated)
	path := a.Header().Get("Location")
	if path != "/v1/tanks/"+made.Id || *made.Label != "Show tank 3" || *made.Tank.Size != "48x20x20in" || string(*made.Tank.TemperatureC) != `"77F"` {
		t.Errorf("%s at %s", a.Body, path)
	}
	read := k.Get(path, k.Key...)
	if apitest.Body[gen.Tank](t, read, http.StatusOK); read.Body.String() != a.Body.String() || read.Header().Get("ETag") != a.Header().Get("ETag") {
		t.Errorf("made %s\nread %s", a.Body, read.Body)
	}
	if c := read.Header().Get("Cache-Control"); c != "private, no-cache" {
		t.Errorf("Cache-Control %q", c)
	}
	if again := k.Get(path, apitest.With(k.Key, []string{"If-None-Match", read.Header().Get("ETag")})...); again.Code != http.StatusNotModified {
		t.Errorf("%d", again.Code)
	}
	lines := apitest.Body[gen.ResidentsPage](t, k.Get(path+"/residents", k.Key...), http.StatusOK)
	if len(lines.Residents) != 1 || lines.Residents[0].Line.Species != "paracheirodon-innesi" || *lines.Residents[0].Line.Count != 12 {
		t.Errorf("%+v", lines)
	}
}

func TestNothingOfATankThatIsRefusedIsStored(t *testing.T) {
	k := apitest.NewTankOwner(t)
	k.Tank(`{"external_ref":"T-3","tank":{}}`)
	for name, c := range map[string]struct {
		body    string
		status  int
		slug    respond.Slug
		pointer string
	}{
		"a number of another tank":     {`{"external_ref":"T-3","tank":{}}`, http.StatusConflict, respond.AlreadyExists, ""},
		"an unknown species":           {`{"tank":{},"residents":[{"species":"guppy"},{"species":"gupy"}]}`, http.StatusUnprocessableEntity, respond.UnknownSpecies, "/residents/1/species"},
		"a length without a width":     {`{"tank":{"length_cm":100}}`, http.StatusUnprocessableEntity, respond.ImpossibleValue, "/tank/width_cm"},
		"a size beside a side":         {`{"tank":{"size":"100x40x40cm","length_cm":100}}`, http.StatusUnprocessableEntity, respond.ImpossibleValue, "/tank/length_cm"},
		"water at 200 °C":              {`{"tank":{"temperature_c":200}}`, http.StatusUnprocessableEntity, respond.ImpossibleValue, "/tank/temperature_c"},
		"a label of two lines":         {`{"label":"a\nb","tank":{}}`, http.StatusUnprocessableEntity, respond.ImpossibleValue, "/label"},
		"a blank number":               {`{"external_ref":"  ","tank":{}}`, http.StatusUnprocessableEntity, respond.ImpossibleValue, "/external_ref"},
		"no tank":                      {`{"label":"x"}`, http.StatusBadRequest, respond.MalformedBody, "/tank"},
		"a field that nobody knows":    {`{"tank":{},"owner":"somebody"}`, http.StatusBadRequest, respond.MalformedBody, "/owner"},
		"a label that is a number":     {`{"label":3,"tank":{}}`, http.StatusBadRequest, respond.MalformedBody, "/label"},
		"more residents than can be":   {`{"tank":{},"residents":[` + strings.TrimSuffix(strings.Repeat(`{"species":"guppy"},`, 201), ",") + `]}`, http.StatusUnprocessableEntity, respond.ImpossibleValue, "/residents"},
		"a NUL in a label":             {`{"label":"a\u0000b","tank":{}}`, http.StatusBadRequest, respond.MalformedBody, ""},
		"a label of 121 characters":    {`{"label":"` + strings.Repeat("ä", 121) + `","tank":{}}`, http.StatusUnprocessableEntity, respond.ImpossibleValue, "/label"},
		"an ambiguous or unknown name": {`{"tank":{},"residents":[{"species":"tetra"}]}`, http.StatusUnprocessableEntity, respond.AmbiguousSpecies, "/residents/0/species"},
	} {
		a := k.Post("/v1/tanks", c.body, k.Key...)
		apitest.WantProblem(t, name, a, c.status, c.slug)
		if p := apitest.ProblemIn(t, a); c.pointer != "" && (p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer) {
			t.Errorf("%s: want an error at %s: %s", name, c.pointer, a.Body)
		}
	}
	if page := apitest.Body[gen.TanksPage](t, k.Get("/v1/tanks", k.Key...), http.StatusOK); len(page.Tanks) != 1 {
		t.Errorf("%d tanks are stored", len(page.Tanks))
	}
}

func TestChangesSayWhichStateTheyMean(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := k.Tank(`{"label":"old","tank":{"size":"100x40x40cm"},"residents":[{"species":"guppy","count":3}]}`)
	line := tank + "/residents/" + apitest.Body[gen.ResidentsPage](t, k.Get(tank+"/residents", k.Key...), http.StatusOK).Residents[0].Id
	for path, bodies := range map[string]map[string]string{
		tank: {http.MethodPut: `{"label":"new","tank":{}}`, http.MethodPatch: `{"label":"newer"}`, http.MethodDelete: ""},
		line: {http.MethodPut: `{"species":"guppy","count":4}`, http.MethodPatch: `{"count":5}`, http.MethodDelete: ""},
	} {
		for _, method := range []string{http.MethodPut, http.MethodPatch, http.MethodDelete} {
			apitest.WantProblem(t, method+" without a state", k.Change(method, path, bodies[method], ""), http.StatusPreconditionRequired, respond.PreconditionRequired)
			before := k.Get(path, k.Key...)
			for _, tag := range []string{`"99"`, `W/` + before.Header().Get("ETag"), "nonsense"} {
				apitest.WantProblem(t, method+" of "+tag, k.Change(method, path, bodies[method], tag), http.StatusPreconditionFailed, respond.PreconditionFailed)
			}
			if after := k.Get(path, k.Key...); after.Body.String() != before.Body.String() {
				t.Errorf("%s of another state changed something: %s", method, after.Body)
			}
			if method == http.MethodDelete && path == tank {
				continue // its line is still to come
			}
			a := k.Change(method, path, bodies[method], `"7", `+before.Header().Get("ETag"))
			if a.Code >= 300 || a.Header().Get("ETag") == before.Header().Get("ETag") {
				t.Errorf("%s: %d %s", method, a.Code, a.Body)
			}
			if method != http.MethodDelete && k.Get(path, k.Key...).Body.String() != a.Body.String() {
				t.Errorf("%s answers what is not stored: %s", method, a.Body)
			}
		}
	}
	if a := k.Change(http.MethodDelete, tank, "", "*"); a.Code != http.StatusNoContent || a.Body.Len() > 0 {
		t.Errorf("%d %s", a.Code, a.Body)
	}
	for _, path := range []string{tank, line, tank + "/residents", tank + "/readings", tank + "/check", tank + "/additions"} {
		apitest.WantProblem(t, path, k.Get(path, k.Key...), http.StatusNotFound, respond.NotFound)
	}
}

func TestOfTwoWhoChangeTheSameOneIsToldSo(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := k.Tank(`{"tank":{}}`)
	tag := k.Get(tank, k.Key...).Header().Get("ETag")
	codes := make([]int, 8)
	var wg sync.WaitGroup
	for i := range codes {
		wg.Go(func() { codes[i] = k.Change(http.MethodPatch, tank, `{"label":"mine"}`, tag).Code })
	}
	wg.Wait()
	counts := map[int]int{}
	for _, c := range codes {
		counts[c]++
	}
	if counts[http.StatusOK] != 1 || counts[http.StatusPreconditionFailed] != len(codes)-1 {
		t.Errorf("%v", counts)
	}
}

func TestAMergePatchIsWhatTheStandardSays(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := k.Tank(`{"label":"a","external_ref":"T-1","tank":{"size":"100x40x40cm","temperature_c":25,"lid":true}}`)
	for _, c := range []struct{ patch, want string }{
		{`{"tank":{"temperature_c":26.5}}`, `"tank":{"lid":true,"size":"100x40x40cm","temperature_c":26.5}`},
		{`{"tank":{"lid":null,"ph":"7.0"},"label":null}`, `"tank":{"ph":"7.0","size":"100x40x40cm","temperature_c":26.5}`},
		{`{"tank":{"size":null,"volume_l":80}}`, `"tank":{"ph":"7.0","temperature_c":26.5,"volume_l":80}`},
		{`{}`, `"external_ref":"T-1"`},
		{`{"external_ref":null}`, `"tank":{`},
	} {
		a := k.Change(http.MethodPatch, tank, c.patch, "*")
		if a.Code != http.StatusOK || !strings.Contains(a.Body.String(), c.want) {
			t.Errorf("%s: %d %s; want %s", c.patch, a.Code, a.Body, c.want)
		}
	}
	final := apitest.Body[gen.Tank](t, k.Get(tank, k.Key...), http.StatusOK)
	if final.Label != nil || final.ExternalRef != nil {
		t.Errorf("%+v", final)
	}
	for name, c := range map[string]struct {
		patch   string
		status  int
		slug    respond.Slug
		pointer string
	}{
		"a field that nobody knows":       {`{"colour":"red"}`, http.StatusBadRequest, respond.MalformedBody, "/colour"},
		"a field taken away that must be": {`{"tank":null}`, http.StatusBadRequest, respond.MalformedBody, "/tank"},
		"two ways to say the room":        {`{"tank":{"size":"100x40x40cm"}}`, http.StatusUnprocessableEntity, respond.ImpossibleValue, "/tank/volume_l"},
		"a value that cannot be":          {`{"tank":{"cover":7}}`, http.StatusUnprocessableEntity, respond.ImpossibleValue, "/tank/cover"},
		"no object":                       {`[]`, http.StatusBadRequest, respond.MalformedBody, ""},
	} {
		a := k.Change(http.MethodPatch, tank, c.patch, "*")
		apitest.WantProblem(t, name, a, c.status, c.slug)
		if p := apitest.ProblemIn(t, a); c.pointer != "" && (p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer) {
			t.Errorf("%s: want an error at %s: %s", name, c.pointer, a.Body)
		}
	}
	taken := k.Tank(`{"external_ref":"T-9","tank":{}}`)
	apitest.WantProblem(t, "a number of another", k.Change(http.MethodPatch, tank, `{"external_ref":"T-9"}`, "*"), http.StatusConflict, respond.AlreadyExists)
	apitest.WantProblem(t, "a number of another", k.Change(http.MethodPut, tank, `{"external_ref":"T-9","tank":{}}`, "*"), http.StatusConflict, respond.AlreadyExists)
	if a := k.Change(http.MethodPut, taken, `{"external_ref":"T-9","tank":{}}`, "*"); a.Code != http.StatusOK {
		t.Errorf("its own number: %d %s", a.Code, a.Body)
	}
	apitest.WantProblem(t, "a cover of 7", k.Change(http.MethodPut, tank, `{"tank":{"cover":7}}`, "*"), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	apitest.WantProblem(t, "plain JSON", k.Do(http.MethodPatch, tank, `{}`, apitest.With(k.Key, []string{"If-Match", "*", "Content-Type", "application/json"})...), http.StatusUnsupportedMediaType, respond.UnsupportedMediaType)
}
