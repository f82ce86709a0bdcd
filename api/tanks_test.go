package api

import (
	"net/http"
	"strings"
	"sync"
	"testing"

	"commensal/api/gen"
	"commensal/internal/auth"
)

// keeper is a house with a key for tanks.
type keeper struct {
	*house
	key []string
}

func newKeeper(t testing.TB, change ...func(*Config)) *keeper {
	t.Helper()
	h := newHouse(t, change...)
	return &keeper{h, h.key("here", auth.TanksRead, auth.TanksWrite)}
}

// tank stores a tank and returns its path.
func (k *keeper) tank(body string) (path string) {
	k.t.Helper()
	a := k.post("/v1/tanks", body, k.key...)
	if a.Code != http.StatusCreated {
		k.t.Fatalf("%d %s", a.Code, a.Body)
	}
	return a.Header().Get("Location")
}

// resident adds a line and returns its path.
func (k *keeper) resident(tank, line string) (path string) {
	k.t.Helper()
	a := k.post(tank+"/residents", line, k.key...)
	if a.Code != http.StatusCreated {
		k.t.Fatalf("%d %s", a.Code, a.Body)
	}
	return a.Header().Get("Location")
}

// change sends a change of a thing under a tag.
func (k *keeper) change(method, path, body, tag string) answer {
	k.t.Helper()
	headers := k.key
	if tag != "" {
		headers = with(headers, []string{"If-Match", tag})
	}
	switch method {
	case http.MethodPatch:
		headers = with(headers, []string{"Content-Type", "application/merge-patch+json"})
	case http.MethodPut:
		headers = with(headers, []string{"Content-Type", "application/json"})
	}
	return k.do(method, path, body, headers...)
}

func TestATankIsStoredAsItWasGiven(t *testing.T) {
	k := newKeeper(t)
	a := k.post("/v1/tanks", `{"label":"Show tank 3","external_ref":"T-3","tank":{"size":"48x20x20in","temperature_c":"77F","lid":true},"residents":[{"species":"neon tetra","count":12}]}`, k.key...)
	made := body[gen.Tank](t, a, http.StatusCreated)
	path := a.Header().Get("Location")
	if path != "/v1/tanks/"+made.Id || *made.Label != "Show tank 3" || *made.Tank.Size != "48x20x20in" || string(*made.Tank.TemperatureC) != `"77F"` {
		t.Errorf("%s at %s", a.Body, path)
	}
	read := k.get(path, k.key...)
	if body[gen.Tank](t, read, http.StatusOK); read.Body.String() != a.Body.String() || read.Header().Get("ETag") != a.Header().Get("ETag") {
		t.Errorf("made %s\nread %s", a.Body, read.Body)
	}
	if c := read.Header().Get("Cache-Control"); c != "private, no-cache" {
		t.Errorf("Cache-Control %q", c)
	}
	if again := k.get(path, with(k.key, []string{"If-None-Match", read.Header().Get("ETag")})...); again.Code != http.StatusNotModified {
		t.Errorf("%d", again.Code)
	}
	lines := body[gen.ResidentsPage](t, k.get(path+"/residents", k.key...), http.StatusOK)
	if len(lines.Residents) != 1 || lines.Residents[0].Line.Species != "paracheirodon-innesi" || *lines.Residents[0].Line.Count != 12 {
		t.Errorf("%+v", lines)
	}
}

func TestNothingOfATankThatIsRefusedIsStored(t *testing.T) {
	k := newKeeper(t)
	k.tank(`{"external_ref":"T-3","tank":{}}`)
	for name, c := range map[string]struct {
		body    string
		status  int
		slug    slug
		pointer string
	}{
		"a number of another tank":     {`{"external_ref":"T-3","tank":{}}`, http.StatusConflict, alreadyExists, ""},
		"an unknown species":           {`{"tank":{},"residents":[{"species":"guppy"},{"species":"gupy"}]}`, http.StatusUnprocessableEntity, unknownSpecies, "/residents/1/species"},
		"a length without a width":     {`{"tank":{"length_cm":100}}`, http.StatusUnprocessableEntity, impossibleValue, "/tank/width_cm"},
		"a size beside a side":         {`{"tank":{"size":"100x40x40cm","length_cm":100}}`, http.StatusUnprocessableEntity, impossibleValue, "/tank/length_cm"},
		"water at 200 °C":              {`{"tank":{"temperature_c":200}}`, http.StatusUnprocessableEntity, impossibleValue, "/tank/temperature_c"},
		"a label of two lines":         {`{"label":"a\nb","tank":{}}`, http.StatusUnprocessableEntity, impossibleValue, "/label"},
		"a blank number":               {`{"external_ref":"  ","tank":{}}`, http.StatusUnprocessableEntity, impossibleValue, "/external_ref"},
		"no tank":                      {`{"label":"x"}`, http.StatusBadRequest, malformedBody, "/tank"},
		"a field that nobody knows":    {`{"tank":{},"owner":"somebody"}`, http.StatusBadRequest, malformedBody, "/owner"},
		"a label that is a number":     {`{"label":3,"tank":{}}`, http.StatusBadRequest, malformedBody, "/label"},
		"more residents than can be":   {`{"tank":{},"residents":[` + strings.TrimSuffix(strings.Repeat(`{"species":"guppy"},`, 201), ",") + `]}`, http.StatusUnprocessableEntity, impossibleValue, "/residents"},
		"a NUL in a label":             {`{"label":"a\u0000b","tank":{}}`, http.StatusBadRequest, malformedBody, ""},
		"a label of 121 characters":    {`{"label":"` + strings.Repeat("ä", 121) + `","tank":{}}`, http.StatusUnprocessableEntity, impossibleValue, "/label"},
		"an ambiguous or unknown name": {`{"tank":{},"residents":[{"species":"tetra"}]}`, http.StatusUnprocessableEntity, ambiguousSpecies, "/residents/0/species"},
	} {
		a := k.post("/v1/tanks", c.body, k.key...)
		wantProblem(t, name, a, c.status, c.slug)
		if p := problemIn(t, a); c.pointer != "" && (p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer) {
			t.Errorf("%s: want an error at %s: %s", name, c.pointer, a.Body)
		}
	}
	if page := body[gen.TanksPage](t, k.get("/v1/tanks", k.key...), http.StatusOK); len(page.Tanks) != 1 {
		t.Errorf("%d tanks are stored", len(page.Tanks))
	}
}

func TestChangesSayWhichStateTheyMean(t *testing.T) {
	k := newKeeper(t)
	tank := k.tank(`{"label":"old","tank":{"size":"100x40x40cm"},"residents":[{"species":"guppy","count":3}]}`)
	line := tank + "/residents/" + body[gen.ResidentsPage](t, k.get(tank+"/residents", k.key...), http.StatusOK).Residents[0].Id
	for path, bodies := range map[string]map[string]string{
		tank: {http.MethodPut: `{"label":"new","tank":{}}`, http.MethodPatch: `{"label":"newer"}`, http.MethodDelete: ""},
		line: {http.MethodPut: `{"species":"guppy","count":4}`, http.MethodPatch: `{"count":5}`, http.MethodDelete: ""},
	} {
		for _, method := range []string{http.MethodPut, http.MethodPatch, http.MethodDelete} {
			wantProblem(t, method+" without a state", k.change(method, path, bodies[method], ""), http.StatusPreconditionRequired, preconditionRequired)
			before := k.get(path, k.key...)
			for _, tag := range []string{`"99"`, `W/` + before.Header().Get("ETag"), "nonsense"} {
				wantProblem(t, method+" of "+tag, k.change(method, path, bodies[method], tag), http.StatusPreconditionFailed, preconditionFailed)
			}
			if after := k.get(path, k.key...); after.Body.String() != before.Body.String() {
				t.Errorf("%s of another state changed something: %s", method, after.Body)
			}
			if method == http.MethodDelete && path == tank {
				continue // its line is still to come
			}
			a := k.change(method, path, bodies[method], `"7", `+before.Header().Get("ETag"))
			if a.Code >= 300 || a.Header().Get("ETag") == before.Header().Get("ETag") {
				t.Errorf("%s: %d %s", method, a.Code, a.Body)
			}
			if method != http.MethodDelete && k.get(path, k.key...).Body.String() != a.Body.String() {
				t.Errorf("%s answers what is not stored: %s", method, a.Body)
			}
		}
	}
	if a := k.change(http.MethodDelete, tank, "", "*"); a.Code != http.StatusNoContent || a.Body.Len() > 0 {
		t.Errorf("%d %s", a.Code, a.Body)
	}
	for _, path := range []string{tank, line, tank + "/residents", tank + "/readings", tank + "/check", tank + "/additions"} {
		wantProblem(t, path, k.get(path, k.key...), http.StatusNotFound, notFound)
	}
}

func TestOfTwoWhoChangeTheSameOneIsToldSo(t *testing.T) {
	k := newKeeper(t)
	tank := k.tank(`{"tank":{}}`)
	tag := k.get(tank, k.key...).Header().Get("ETag")
	codes := make([]int, 8)
	var wg sync.WaitGroup
	for i := range codes {
		wg.Go(func() { codes[i] = k.change(http.MethodPatch, tank, `{"label":"mine"}`, tag).Code })
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
	k := newKeeper(t)
	tank := k.tank(`{"label":"a","external_ref":"T-1","tank":{"size":"100x40x40cm","temperature_c":25,"lid":true}}`)
	for _, c := range []struct{ patch, want string }{
		{`{"tank":{"temperature_c":26.5}}`, `"tank":{"lid":true,"size":"100x40x40cm","temperature_c":26.5}`},
		{`{"tank":{"lid":null,"ph":"7.0"},"label":null}`, `"tank":{"ph":"7.0","size":"100x40x40cm","temperature_c":26.5}`},
		{`{"tank":{"size":null,"volume_l":80}}`, `"tank":{"ph":"7.0","temperature_c":26.5,"volume_l":80}`},
		{`{}`, `"external_ref":"T-1"`},
		{`{"external_ref":null}`, `"tank":{`},
	} {
		a := k.change(http.MethodPatch, tank, c.patch, "*")
		if a.Code != http.StatusOK || !strings.Contains(a.Body.String(), c.want) {
			t.Errorf("%s: %d %s; want %s", c.patch, a.Code, a.Body, c.want)
		}
	}
	final := body[gen.Tank](t, k.get(tank, k.key...), http.StatusOK)
	if final.Label != nil || final.ExternalRef != nil {
		t.Errorf("%+v", final)
	}
	for name, c := range map[string]struct {
		patch   string
		status  int
		slug    slug
		pointer string
	}{
		"a field that nobody knows":       {`{"colour":"red"}`, http.StatusBadRequest, malformedBody, "/colour"},
		"a field taken away that must be": {`{"tank":null}`, http.StatusBadRequest, malformedBody, "/tank"},
		"two ways to say the room":        {`{"tank":{"size":"100x40x40cm"}}`, http.StatusUnprocessableEntity, impossibleValue, "/tank/volume_l"},
		"a value that cannot be":          {`{"tank":{"cover":7}}`, http.StatusUnprocessableEntity, impossibleValue, "/tank/cover"},
		"no object":                       {`[]`, http.StatusBadRequest, malformedBody, ""},
	} {
		a := k.change(http.MethodPatch, tank, c.patch, "*")
		wantProblem(t, name, a, c.status, c.slug)
		if p := problemIn(t, a); c.pointer != "" && (p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer) {
			t.Errorf("%s: want an error at %s: %s", name, c.pointer, a.Body)
		}
	}
	taken := k.tank(`{"external_ref":"T-9","tank":{}}`)
	wantProblem(t, "a number of another", k.change(http.MethodPatch, tank, `{"external_ref":"T-9"}`, "*"), http.StatusConflict, alreadyExists)
	wantProblem(t, "a number of another", k.change(http.MethodPut, tank, `{"external_ref":"T-9","tank":{}}`, "*"), http.StatusConflict, alreadyExists)
	if a := k.change(http.MethodPut, taken, `{"external_ref":"T-9","tank":{}}`, "*"); a.Code != http.StatusOK {
		t.Errorf("its own number: %d %s", a.Code, a.Body)
	}
	wantProblem(t, "a cover of 7", k.change(http.MethodPut, tank, `{"tank":{"cover":7}}`, "*"), http.StatusUnprocessableEntity, impossibleValue)
	wantProblem(t, "plain JSON", k.do(http.MethodPatch, tank, `{}`, with(k.key, []string{"If-Match", "*", "Content-Type", "application/json"})...), http.StatusUnsupportedMediaType, unsupportedMediaType)
}
