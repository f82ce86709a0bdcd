package stock_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"
)

// everything is a key for all that an organization does.
func (s *shop) everything() []string { return s.Key("here", auth.AllScopes()...) }

func (s *shop) stocked() {
	s.T.Helper()
	s.report(s.csv("article,name,species,price class,in stock\nN-1,Neon tetra,,A,80\nN-2,Neon tetra large,,B,3\nO-1,Oscar 5 cm,,C,2\nC-1,Assorted cory,,A,12\nG-0,Guppy,,A,0\n" +
		"PC-1,Panda cory,,B,20\nP-1,Java fern,,A,9\nX-1,Zzyzx qqq,,A,9\nM-1,Two of them,oscar | neon tetra,A,9\n"))
}

func TestALineMayNameAnArticle(t *testing.T) {
	s := newShop(t)
	s.stocked()
	key := s.everything()
	const tank = `"tank":{"size":"120x40x50cm"}`
	for name, c := range map[string]struct{ path, articles, names string }{
		"check":      {"/v1/checks", `{` + tank + `,"residents":[{"article":"N-1","count":12}],"incoming":[{"article":"O-1"}]}`, `{` + tank + `,"residents":[{"species":"Neon tetra","ref":"N-1","count":12}],"incoming":[{"species":"Oscar 5 cm","ref":"O-1"}]}`},
		"sold out":   {"/v1/checks", `{"residents":[{"article":"G-0"}]}`, `{"residents":[{"species":"guppy","ref":"G-0"}]}`},
		"own ref":    {"/v1/checks", `{"residents":[{"article":"G-0","ref":"7"},{"species":"oscar"}]}`, `{"residents":[{"species":"guppy","ref":"7"},{"species":"oscar"}]}`},
		"assorted":   {"/v1/checks", `{` + tank + `,"residents":[{"article":"C-1","count":6}]}`, `{` + tank + `,"residents":[{"species":"Assorted cory","ref":"C-1","count":6}]}`},
		"a plant":    {"/v1/checks", `{"residents":[{"article":"P-1"},{"article":"N-1"}]}`, `{"residents":[{"species":"Java fern","ref":"P-1"},{"species":"neon tetra","ref":"N-1"}]}`},
		"set aside":  {"/v1/checks", `{"unmatched":"set_aside","residents":[{"article":"X-1"},{"article":"N-1"}]}`, `{"unmatched":"set_aside","residents":[{"species":"Zzyzx qqq","ref":"X-1"},{"species":"neon tetra","ref":"N-1"}]}`},
		"groupings":  {"/v1/groupings", `{"residents":[{"article":"N-1","count":12},{"article":"O-1"}]}`, `{"residents":[{"species":"neon tetra","count":12},{"species":"Oscar 5 cm"}]}`},
		"additions":  {"/v1/additions", `{"offer_from":"catalogue","limit":3,"residents":[{"article":"N-1","count":12}]}`, `{"offer_from":"catalogue","limit":3,"residents":[{"species":"neon tetra","count":12}]}`},
		"placements": {"/v1/placements", `{"incoming":[{"article":"PC-1","count":6}],"tanks":[{` + tank + `,"residents":[{"article":"N-1","count":12}]}]}`, `{"incoming":[{"species":"panda cory","count":6}],"tanks":[{` + tank + `,"residents":[{"species":"neon tetra","count":12}]}]}`},
	} {
		a, b := s.Post(c.path, c.articles, key...), s.Post(c.path, c.names)
		if a.Code != http.StatusOK || a.Body.String() != b.Body.String() {
			t.Errorf("%s:\nby article %d %s\nby name    %d %s", name, a.Code, apitest.Clipped(a.Body.String()), b.Code, apitest.Clipped(b.Body.String()))
		}
		apitest.WantProblem(t, name+" without a key", s.Post(c.path, c.articles), http.StatusUnprocessableEntity, respond.ImpossibleValue)
		apitest.WantProblem(t, name+" with a key for tanks", s.Post(c.path, c.articles, s.Key("here", auth.TanksRead)...), http.StatusForbidden, respond.ScopeMissing)
		apitest.WantProblem(t, name+" with no key at all", s.Post(c.path, c.articles, "Authorization", "Bearer x"), http.StatusUnauthorized, respond.KeyRefused)
		apitest.WantProblem(t, name+" of a stranger", s.Post(c.path, c.articles, s.Key("there", auth.StockRead)...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	}
	both := apitest.Body[gen.Check](t, s.Post("/v1/checks", `{`+tank+`,"residents":[{"article":"M-1","count":1}]}`, key...), http.StatusOK)
	if u := both.Lines[0].Unclear; u == nil || len(u.Meanings) != 2 || both.Lines[0].Species.Id != "astronotus-ocellatus" {
		t.Errorf("%+v", both.Lines)
	}
}

func TestWhatIsWrongWithAnArticleNamesLineAndArticle(t *testing.T) {
	s := newShop(t)
	s.stocked()
	key := s.everything()
	for name, c := range map[string]struct {
		path, body string
		status     int
		pointer    string
		says       []string
		key        []string
	}{
		"not in stock":  {"/v1/checks", `{"residents":[{"species":"guppy"},{"article":"Z-9"}]}`, 422, "/residents/1/article", []string{`/residents/1 names article "Z-9"`, "not in the organization's stock"}, key},
		"no key":        {"/v1/checks", `{"incoming":[{"article":"N-1"}]}`, 422, "/incoming/0/article", []string{`/incoming/0 names article "N-1"`, "no key"}, nil},
		"both":          {"/v1/checks", `{"incoming":[{"article":"N-1","species":"guppy"}]}`, 422, "/incoming/0/article", []string{"a species and an article"}, key},
		"neither":       {"/v1/checks", `{"incoming":[{"count":3}]}`, 400, "/incoming/0/species", []string{"is missing"}, nil},
		"nobody knows":  {"/v1/checks", `{"incoming":[{"article":"X-1"}]}`, 422, "/incoming/0/article", []string{`Article "X-1"`, `"Zzyzx qqq"`}, key},
		"several kinds": {"/v1/groupings", `{"residents":[{"article":"C-1"}]}`, 422, "/residents/0/article", []string{`Article "C-1"`, "several species"}, key},
		"of two kinds":  {"/v1/additions", `{"residents":[{"article":"M-1"}]}`, 422, "/residents/0/article", []string{`Article "M-1"`, "several species"}, key},
		"in a tank":     {"/v1/placements", `{"incoming":[{"species":"guppy"}],"tanks":[{"residents":[{"species":"guppy"},{"article":"Z-9"}]}]}`, 422, "/tanks/0/residents/1/article", []string{`"Z-9"`}, key},
		"stored":        {"/v1/tanks", `{"tank":{},"residents":[{"article":"Z-9"}]}`, 422, "/residents/0/article", []string{`"Z-9"`}, key},
	} {
		a := s.Post(c.path, c.body, c.key...)
		p := apitest.ProblemIn(t, a)
		if a.Code != c.status || p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer {
			t.Errorf("%s: %d %s", name, a.Code, a.Body)
			continue
		}
		for _, words := range c.says {
			if !strings.Contains((*p.Errors)[0].Detail, words) {
				t.Errorf("%s: it does not say %q: %s", name, words, (*p.Errors)[0].Detail)
			}
		}
	}
}

func TestStoredTanksTakeArticles(t *testing.T) {
	s := newShop(t)
	s.stocked()
	key := s.everything()
	a := s.Post("/v1/tanks", `{"tank":{"size":"120x40x50cm"},"residents":[{"article":"N-1","count":12}]}`, key...)
	if a.Code != http.StatusCreated {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	tank := a.Header().Get("Location")
	lines := apitest.Body[gen.ResidentsPage](t, s.Get(tank+"/residents", key...), http.StatusOK).Residents
	if l := lines[0].Line; l.Species != "paracheirodon-innesi" || l.Article != nil || *l.Ref != "N-1" {
		t.Errorf("%+v", l)
	}
	change := apitest.With(key, []string{"If-Match", "*", "Content-Type", "application/merge-patch+json"})
	line := tank + "/residents/" + lines[0].Id
	patched := apitest.Body[gen.Resident](t, s.Do(http.MethodPatch, line, `{"species":null,"article":"PC-1","ref":null}`, change...), http.StatusOK)
	if patched.Line.Species != "hoplisoma-panda" || *patched.Line.Ref != "PC-1" || *patched.Line.Count != 12 {
		t.Errorf("%+v", patched.Line)
	}
	for body, status := range map[string]int{`{"article":"PC-1"}`: 422, `{"species":null}`: 400, `{"species":null,"article":"Z-9"}`: 422} {
		if a := s.Do(http.MethodPatch, line, body, change...); a.Code != status {
			t.Errorf("%s: %d %s", body, a.Code, a.Body)
		}
	}
	put := apitest.With(key, []string{"If-Match", "*", "Content-Type", "application/json"})
	if r := apitest.Body[gen.Resident](t, s.Do(http.MethodPut, line, `{"article":"N-1","count":10}`, put...), http.StatusOK); r.Line.Species != "paracheirodon-innesi" {
		t.Errorf("%+v", r)
	}
	if r := apitest.Body[gen.Resident](t, s.Post(tank+"/residents", `{"article":"PC-1","count":6}`, key...), http.StatusCreated); r.Line.Species != "hoplisoma-panda" {
		t.Errorf("%+v", r)
	}
	held := apitest.Body[gen.Check](t, s.Post(tank+"/check", `{"incoming":[{"article":"O-1"}],"offers":2}`, key...), http.StatusOK)
	if held.Decision != gen.Hold || held.Offers == nil || *held.OfferedFrom != gen.OfferStock || held.Findings[0].Refs[len(held.Findings[0].Refs)-1] != "O-1" && held.Findings[0].Refs[0] != "O-1" {
		t.Errorf("%s, %+v from %v, %v", held.Decision, held.Offers, held.OfferedFrom, held.Findings[0].Refs)
	}
	recorded := s.Post(tank+"/check", `{"record":true,"incoming":[{"article":"O-1"}],"offers":1}`, key...)
	record := apitest.Body[struct {
		Id    string            `json:"id"`
		Input gen.RecordedInput `json:"input"`
	}](t, recorded, http.StatusCreated)
	if in := record.Input.Incoming[0]; in.Species != "astronotus-ocellatus" || *in.Ref != "O-1" || in.Article != nil {
		t.Errorf("%+v", in)
	}
	if replay := apitest.Body[gen.CheckReplay](t, s.Get("/v1/checks/"+record.Id+"/replay", key...), http.StatusOK); replay.Outcome != gen.CheckReplayOutcomeSame {
		t.Errorf("%+v", replay)
	}
	both := apitest.Body[struct {
		Id string `json:"id"`
	}](t, s.Post("/v1/checks", `{"record":true,"residents":[{"article":"M-1"}]}`, key...), http.StatusCreated)
	if replay := apitest.Body[gen.CheckReplay](t, s.Get("/v1/checks/"+both.Id+"/replay", key...), http.StatusOK); replay.Outcome != gen.CheckReplayOutcomeSame {
		t.Errorf("of an article of two kinds: %+v", replay)
	}
}

func TestAdditionsComeFromTheStock(t *testing.T) {
	s := newShop(t)
	const body = `"tank":{"size":"120x40x50cm"},"residents":[{"species":"neon tetra","count":12}]`
	ask := func(more string, key []string) gen.Additions {
		t.Helper()
		return apitest.Body[gen.Additions](t, s.Post("/v1/additions", `{`+body+more+`}`, key...), http.StatusOK)
	}
	if a := ask("", s.key); a.OfferedFrom != gen.OfferedFromCatalogue || a.Considered < 500 {
		t.Errorf("without any article: %s, %d", a.OfferedFrom, a.Considered)
	}
	s.stocked()
	a := ask("", s.key)
	if a.OfferedFrom != gen.OfferedFromStock || a.Considered != 2 || len(a.Fitting) != 1 || *a.Fitting[0].Article != "PC-1" || *a.Fitting[0].Name != "Panda cory" || *a.Fitting[0].PriceClass != "B" {
		t.Errorf("%s, %d considered: %+v", a.OfferedFrom, a.Considered, a.Fitting)
	}
	if a := ask(`,"filters":{"price_class":["A"]}`, s.key); a.Considered != 0 || len(a.Fitting) != 0 {
		t.Errorf("of another price class: %+v", a)
	}
	if a := ask("", nil); a.OfferedFrom != gen.OfferedFromCatalogue {
		t.Errorf("without a key, after the same with one: %s", a.OfferedFrom)
	}
	if a := ask("", s.key); a.OfferedFrom != gen.OfferedFromStock {
		t.Errorf("with a key, after the same without: %s", a.OfferedFrom)
	}
	if a := ask(`,"offer_from":"catalogue"`, s.key); a.OfferedFrom != gen.OfferedFromCatalogue || a.Fitting[0].Article != nil {
		t.Errorf("asked otherwise: %s", a.OfferedFrom)
	}
	if a := ask(`,"in_stock":["guppy"]`, s.key); a.OfferedFrom != gen.OfferedFromRequest || a.Considered != 1 {
		t.Errorf("listed: %s", a.OfferedFrom)
	}
	if a := ask("", s.Key("here", auth.TanksRead)); a.OfferedFrom != gen.OfferedFromCatalogue {
		t.Errorf("with another scope: %s", a.OfferedFrom)
	}
	stranger := s.Key("there", auth.StockRead)
	if a := ask("", stranger); a.OfferedFrom != gen.OfferedFromCatalogue {
		t.Errorf("a stranger without articles: %s", a.OfferedFrom)
	}
	if a := ask(`,"offer_from":"stock"`, stranger); a.OfferedFrom != gen.OfferedFromStock || a.Considered != 0 {
		t.Errorf("a stranger's empty stock: %+v", a)
	}
	apitest.WantProblem(t, "stock without a key", s.Post("/v1/additions", `{`+body+`,"offer_from":"stock"}`), http.StatusUnauthorized, respond.KeyMissing)
	apitest.WantProblem(t, "both", s.Post("/v1/additions", `{`+body+`,"offer_from":"stock","in_stock":["guppy"]}`, s.key...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	all := s.everything()
	tank := s.Post("/v1/tanks", `{`+body+`}`, all...).Header().Get("Location")
	of := apitest.Body[gen.Additions](t, s.Get(tank+"/additions", all...), http.StatusOK)
	if of.OfferedFrom != gen.OfferedFromStock || len(of.Fitting) != 1 {
		t.Errorf("of a stored tank: %+v", of)
	}
	if of := apitest.Body[gen.Additions](t, s.Get(tank+"/additions?offer_from=catalogue&limit=2", all...), http.StatusOK); of.OfferedFrom != gen.OfferedFromCatalogue {
		t.Errorf("of a stored tank: %s", of.OfferedFrom)
	}
	apitest.WantProblem(t, "without the scope", s.Get(tank+"/additions?offer_from=stock", s.Key("here", auth.TanksRead)...), http.StatusForbidden, respond.ScopeMissing)
}

// In a batch a line may name articles, and offers come from the stock, as in a request of its own.
func TestALineOfABatchMayNameAnArticleAndGetOffersFromTheStock(t *testing.T) {
	s := newShop(t)
	s.stocked()
	lines := []string{
		`{"tank":{"size":"120x40x50cm"},"residents":[{"article":"N-1","count":12}],"incoming":[{"article":"O-1"}],"offers":3}`,
		`{"detail":"brief","residents":[{"article":"N-2","count":12},{"article":"N-1","count":3}],"offers":2,"offer_from":"stock"}`,
		`{"detail":"brief","residents":[{"article":"N-1","count":12}],"offers":2,"offer_from":"catalogue"}`,
		`{"residents":[{"article":"Z-9"}]}`,
		`{"detail":"brief","residents":[{"species":"neon tetra","count":12}],"offers":2}`,
	}
	batch := func(key []string) []gen.BatchLine {
		a := s.Do(http.MethodPost, "/v1/checks/batch", strings.Join(lines, "\n"), apitest.With(key, []string{"Content-Type", "application/x-ndjson"})...)
		var out []gen.BatchLine
		for text := range strings.Lines(a.Body.String()) {
			var l gen.BatchLine
			if err := json.Unmarshal([]byte(text), &l); err != nil {
				t.Fatal(err)
			}
			out = append(out, l)
		}
		if a.Code != http.StatusOK || len(out) != len(lines) {
			t.Fatalf("%d %s", a.Code, a.Body)
		}
		return out
	}
	for name, key := range map[string][]string{"the shop's": s.everything(), "of a stranger": s.Key("there", auth.StockRead), "for tanks": s.Key("here", auth.TanksRead), "none": nil, "a bad one": {"Authorization", "Bearer x"}} {
		for i, l := range append(batch(key), batch(key)...) {
			line := lines[i%len(lines)]
			alone := s.Post("/v1/checks", line, key...)
			switch {
			case l.Status != alone.Code:
				t.Errorf("%s, %s: %d, alone %d", name, line, l.Status, alone.Code)
			case l.Status == http.StatusOK && string(*l.Answer) != strings.TrimSpace(alone.Body.String()):
				t.Errorf("%s, %s: %s, alone %s", name, line, *l.Answer, alone.Body)
			case l.Status != http.StatusOK && l.Problem.Detail != apitest.ProblemIn(t, alone).Detail:
				t.Errorf("%s, %s: %+v, alone %s", name, line, l.Problem, alone.Body)
			}
		}
	}
	if first := batch(s.everything())[0]; !strings.Contains(string(*first.Answer), `"offered_from":"stock"`) || !strings.Contains(string(*first.Answer), `"refs":["O-1"`) {
		t.Errorf("%s", *first.Answer)
	}
}
