package stock_test

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"
	"commensal/internal/conflict"

	"github.com/jackc/pgx/v5"
)

// shop is a service with the whole catalogue and a key for the stock of an organization.
type shop struct {
	*apitest.Service
	key []string
}

func newShop(t testing.TB) *shop {
	t.Helper()
	book := fixture.Fitted(t)
	h := apitest.NewService(t, func(c *api.Config) { c.Book = func() *conflict.Book { return book } })
	return &shop{h, h.Key("here", auth.StockRead, auth.StockWrite)}
}

// put stores a list in JSON.
func (s *shop) put(body string, query ...string) apitest.Answer {
	s.T.Helper()
	return s.Do(http.MethodPut, "/v1/stock"+strings.Join(query, ""), body, apitest.With(s.key, []string{"Content-Type", "application/json"})...)
}

// csv stores a list in CSV.
func (s *shop) csv(body string, query ...string) apitest.Answer {
	s.T.Helper()
	return s.Do(http.MethodPut, "/v1/stock"+strings.Join(query, ""), body, apitest.With(s.key, []string{"Content-Type", "text/csv; charset=utf-8"})...)
}

func (s *shop) report(a apitest.Answer) gen.StockReport {
	s.T.Helper()
	return apitest.Body[gen.StockReport](s.T, a, http.StatusOK)
}

// numbers are the articles that are stored, in order.
func (s *shop) numbers(query string) string {
	s.T.Helper()
	var out []string
	for _, a := range apitest.Body[gen.StockPage](s.T, s.Get("/v1/stock?limit=200"+query, s.key...), http.StatusOK).Articles {
		out = append(out, a.Article)
	}
	return strings.Join(out, " ")
}

func TestAListIsMatchedAndStored(t *testing.T) {
	s := newShop(t)
	r := s.report(s.csv("\ufeffArtikelnr.;Bezeichnung;Fischart;Preisgruppe;Bestand;Lieferant\r\n" +
		"F-1;Neon tetra 2-3 cm;;A;80;x\r\n\r\n" +
		"F-2;\"Betta; male\";Betta splendens;B;ja;x\r\n" +
		"F-3;Assorted cory;;;;\r\n" +
		"F-4;Fancy swordtale;;;0;\r\n" +
		"F-5;Guppy und Platy;guppy | platy;;12,00;\r\n" +
		"P-1;Java fern;;;nein;\r\n" +
		"P-2;Axolotl;;;1;\r\n"))
	if r.Articles != 7 || r.Matched != 2 || r.Ambiguous != 2 || r.Unknown != 1 || r.NotJudged != 2 || *r.Stored != (gen.StockChange{Added: 7}) {
		t.Errorf("%+v %+v", r, r.Stored)
	}
	if !strings.Contains(r.Summary, "7 articles: 2 matched, 2 may mean several kinds, 1 unknown, 2 no fish") || !strings.Contains(r.Summary, "7 added") {
		t.Errorf("%q", r.Summary)
	}
	if len(r.Told) != 3 || r.Told[0].Article != "F-3" || *r.Told[0].Line != 5 || len(r.Told[0].Candidates) < 2 || r.Told[1].Text != "Fancy swordtale" ||
		r.Told[1].Candidates[0].Id != "xiphophorus-hellerii" || len(r.Told[2].Candidates) != 2 {
		t.Errorf("%+v", r.Told)
	}
	if columns := fmt.Sprint(*r.Columns, *r.IgnoredColumns); columns != "[{article Artikelnr.} {name Bezeichnung} {species Fischart} {price_class Preisgruppe} {in_stock Bestand}] [Lieferant]" {
		t.Errorf("%s", columns)
	}
	if fmt.Sprint(*r.KindsNotJudged) != "[{1 plant} {1 salamander}]" {
		t.Errorf("%+v", *r.KindsNotJudged)
	}
	one := apitest.Body[gen.Article](t, s.Get("/v1/stock/F-2", s.key...), http.StatusOK)
	if *one.Name != "Betta; male" || *one.Species != "Betta splendens" || *one.PriceClass != "B" || string(one.InStock) != "true" || one.Match != gen.ArticleMatched ||
		one.Candidates[0].Id != "betta-splendens" {
		t.Errorf("%+v", one)
	}
	for query, want := range map[string]string{
		"": "F-1 F-2 F-3 F-4 F-5 P-1 P-2", "&match=ambiguous": "F-3 F-5", "&in_stock=false": "F-4 P-1", "&in_stock=true&match=not_judged": "P-2",
		"&species=guppy": "F-5", "&match=unknown": "F-4",
	} {
		if got := s.numbers(query); got != want {
			t.Errorf("%q: %s, want %s", query, got, want)
		}
	}
}

func TestOtherAnimalsOfAListAreNoFish(t *testing.T) {
	s := newShop(t)
	r := s.report(s.csv("article,name\n1,Axolotyl leucistic\n2,African dwarf frog\n3,Fire belly newt\n4,Red eared slider\n5,Xenopus laevis\n6,neon tetra\n"))
	if r.NotJudged != 5 || r.Matched != 1 || len(r.Told) != 0 || fmt.Sprint(*r.KindsNotJudged) != "[{2 frog} {2 salamander} {1 turtle}]" {
		t.Errorf("%+v %+v", r, r.KindsNotJudged)
	}
	if one := apitest.Body[gen.Article](t, s.Get("/v1/stock/4", s.key...), http.StatusOK); one.Match != gen.ArticleNotJudged || *one.Kind != gen.GoodTurtle {
		t.Errorf("%+v", one)
	}
}

func TestTheSameListAgainChangesNothing(t *testing.T) {
	s := newShop(t)
	const list = "article,name,stock\nA,neon tetra,3\nB,cory,\nC,java fern,1\n"
	s.report(s.csv(list))
	before := s.Get("/v1/stock/B", s.key...)
	r := s.report(s.csv(strings.ReplaceAll(list, "\n", "\r\n")))
	if *r.Stored != (gen.StockChange{Unchanged: 3}) || !strings.Contains(r.Summary, "Nothing has changed") {
		t.Errorf("%q %+v", r.Summary, r.Stored)
	}
	if after := s.Get("/v1/stock/B", s.key...); after.Body.String() != before.Body.String() || after.Header().Get("ETag") != before.Header().Get("ETag") {
		t.Errorf("%s\n%s", before.Body, after.Body)
	}
	r = s.report(s.put(`{"articles":[{"article":"A","name":"neon tetra","in_stock":2},{"article":"B","name":"cory"},{"article":"D","species":"guppy","in_stock":false}]}`))
	if *r.Stored != (gen.StockChange{Added: 1, Changed: 1, Unchanged: 1, Removed: 1}) || s.numbers("") != "A B D" {
		t.Errorf("%+v, %s", r.Stored, s.numbers(""))
	}
	r = s.report(s.put(`{"articles":[{"article":"E","name":"oscar"}]}`, "?missing=keep"))
	if *r.Stored != (gen.StockChange{Added: 1}) || s.numbers("") != "A B D E" {
		t.Errorf("%+v, %s", r.Stored, s.numbers(""))
	}
}

func TestWhatAPatchSettledStays(t *testing.T) {
	s := newShop(t)
	const list = "article,name,stock\nA,Blue dream,3\nB,cory,1\n"
	s.report(s.csv(list))
	patch := func(path, body string) apitest.Answer {
		return s.Do(http.MethodPatch, path, body, apitest.With(s.key, []string{"If-Match", "*", "Content-Type", "application/merge-patch+json"})...)
	}
	a := apitest.Body[gen.Article](t, patch("/v1/stock/B", `{"species":"panda cory","note":"from the breeder"}`), http.StatusOK)
	if a.Match != gen.ArticleMatched || !a.Settled || a.Candidates[0].Id != "hoplisoma-panda" || *a.Note != "from the breeder" {
		t.Errorf("%+v", a)
	}
	r := s.report(s.csv(list + "C,oscar,1\n"))
	if *r.Stored != (gen.StockChange{Added: 1, Changed: 1, Unchanged: 1, Settled: 1}) || r.Ambiguous != 0 { // the note is the list's
		t.Errorf("%+v %+v", r, r.Stored)
	}
	r = s.report(s.csv(list + "C,oscar,1\n"))
	if *r.Stored != (gen.StockChange{Unchanged: 3, Settled: 1}) {
		t.Errorf("%+v", r.Stored)
	}
	if r = s.report(s.csv("article,name,stock\nA,Blue dream,3\nB,Angelfish,1\nC,oscar,1\n")); r.Stored.Settled != 0 || r.Stored.Changed != 1 {
		t.Errorf("under another name: %+v", r.Stored)
	}
	for body, pointer := range map[string]string{
		`{"species":"gupy"}`: "/species", `{"article":"Z"}`: "/article", `{"name":null}`: "/name", `{"in_stock":-1}`: "/in_stock", `{"name":"a\u0007"}`: "/name",
	} {
		a := patch("/v1/stock/B", body)
		if p := apitest.ProblemIn(t, a); a.Code != http.StatusUnprocessableEntity || (*p.Errors)[0].Pointer != pointer {
			t.Errorf("%s: %d %s", body, a.Code, a.Body)
		}
	}
	if a := patch("/v1/stock/B", `{"species":"gupy"}`); len(*(*apitest.ProblemIn(t, a).Errors)[0].Candidates) == 0 {
		t.Errorf("no candidates: %s", a.Body)
	}
	if a := patch("/v1/stock/nothing", `{}`); a.Code != http.StatusNotFound {
		t.Errorf("%d", a.Code)
	}
}

func TestBadListsAreRefusedAndNothingIsStored(t *testing.T) {
	s := newShop(t)
	s.report(s.csv("article,name\nOLD,neon tetra\n"))
	long := strings.Repeat("x", 100_000)
	for name, c := range map[string]struct {
		body   string
		status int
		says   []string
	}{
		"a number twice":            {"article,name\nA,guppy\nB,guppy\nA,oscar\n", 422, []string{`Line 4, article \"A\": The number stands on line 2 too.`}},
		"a negative count":          {"article,name,stock\nA,guppy,-3\n", 422, []string{`Line 2, article \"A\"`, `-3`, "/articles/0/in_stock", "from 0 to 1000000"}},
		"a word for a count":        {"article,name,stock\nA,guppy,lots\n", 422, []string{"lots", "yes or no"}},
		"half a fish":               {"article,name,stock\nA,guppy,1.5\n", 422, []string{"1.5"}},
		"other columns":             {"colour,size\nred,3\n", 400, []string{`\"colour\", \"size\" has no column for the article number`, "article number", "no column for the name or the species"}},
		"two columns for one thing": {"article,sku,name\n1,2,guppy\n", 400, []string{`\"article\" and \"sku\"`}},
		"cut off in a line":         {"article,name,stock\nA,guppy,3\nB,osc", 400, []string{`Line 3, article \"B\"`, "2 cells, and 3 in the header"}},
		"cut off in quotes":         {"article,name,stock\nA,\"guppy,3\nB,oscar,3\n", 400, []string{"Line 2", "cut off"}},
		"a quote in a cell":         {"article,name\nA,3\" guppy\n", 400, []string{"Line 2", "quote"}},
		"nothing":                   {"", 400, []string{"empty"}},
		"a header alone":            {"article,name\n", 422, []string{"no article"}},
		"a huge cell":               {"article,name\nA," + long + "\n", 422, []string{`article \"A\"`, "100000 characters", "at most 200"}},
		"a huge number":             {"article,name\n" + long + ",guppy\n", 422, []string{"100000 characters", "at most 60"}},
		"no number":                 {"article,name\n,guppy\n", 422, []string{"Line 2: The article number is missing."}},
		"no name":                   {"article,name\nA,\n", 422, []string{"neither a name nor a species"}},
		"not UTF-8":                 {"article,name\nA,guppy\nB,Prachtschmerle gro\xdf\n", 400, []string{"Line 3", "UTF-8"}},
		"a picture":                 {"\x89PNG\r\n\x1a\n\x00\x00", 400, []string{"UTF-8"}},
		"a NUL":                     {"article,name\nA,gup\x00py\n", 400, []string{"Line 2", "NUL"}},
	} {
		a := s.csv(c.body)
		if a.Code != c.status {
			t.Errorf("%s: %d %s", name, a.Code, apitest.Clipped(a.Body.String()))
		}
		for _, words := range c.says {
			if !strings.Contains(a.Body.String(), words) {
				t.Errorf("%s: it does not say %s: %s", name, words, apitest.Clipped(a.Body.String()))
			}
		}
	}
	for name, c := range map[string]struct {
		body    string
		status  int
		pointer string
	}{
		"a number twice":  {`{"articles":[{"article":"A","name":"guppy"},{"article":"A","name":"guppy"}]}`, 422, "/articles/1/article"},
		"a blank number":  {`{"articles":[{"article":" ","name":"guppy"}]}`, 422, "/articles/0/article"},
		"no name":         {`{"articles":[{"article":"A"}]}`, 422, "/articles/0/name"},
		"a negative":      {`{"articles":[{"article":"A","name":"guppy","in_stock":-1}]}`, 422, "/articles/0/in_stock"},
		"another field":   {`{"articles":[{"article":"A","nome":"guppy"}]}`, 400, "/articles/0/nome"},
		"a control sign":  {`{"articles":[{"article":"A","name":"gup\u0007py"}]}`, 422, "/articles/0/name"},
		"a list of names": {`{"articles":["guppy"]}`, 400, "/articles/0"},
	} {
		a := s.put(c.body)
		if p := apitest.ProblemIn(t, a); a.Code != c.status || p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer {
			t.Errorf("%s: %d %s", name, a.Code, a.Body)
		}
	}
	apitest.WantProblem(t, "cut off JSON", s.put(`{"articles":[{"article":"A","name":"gup`), http.StatusBadRequest, respond.MalformedBody)
	apitest.WantProblem(t, "another encoding", s.Do(http.MethodPut, "/v1/stock", "x", apitest.With(s.key, []string{"Content-Type", "text/csv; charset=latin1"})...),
		http.StatusUnsupportedMediaType, respond.UnsupportedMediaType)
	many := s.csv("article,name\n" + strings.Repeat("A,guppy\n", 60))
	if p := apitest.ProblemIn(t, many); len(*p.Errors) != respond.MaxEntries {
		t.Errorf("%d faults told", len(*p.Errors))
	}
	var tooMany strings.Builder
	tooMany.WriteString("article,name\n")
	for i := range 50_001 {
		fmt.Fprintf(&tooMany, "%d,guppy\n", i)
	}
	if a := s.csv(tooMany.String()); a.Code != http.StatusUnprocessableEntity || !strings.Contains(a.Body.String(), "more than 50000 articles") {
		t.Errorf("%d %s", a.Code, a.Body)
	}
	if got := s.numbers(""); got != "OLD" {
		t.Errorf("stored: %s", got)
	}
}

// TestAnUploadThatEndsEarlyStoresNothing cuts the connection in the middle of a list.
func TestAnUploadThatEndsEarlyStoresNothing(t *testing.T) {
	s := newShop(t)
	s.report(s.csv("article,name\nOLD,neon tetra\n"))
	server := httptest.NewServer(s.Handler)
	defer server.Close()
	body, feed := io.Pipe()
	r, err := http.NewRequest(http.MethodPut, server.URL+"/v1/stock", body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "text/csv")
	r.Header.Set(s.key[0], s.key[1])
	r.ContentLength = 1000
	go func() {
		_, _ = io.WriteString(feed, "article,name\nNEW,guppy\n")
		feed.CloseWithError(io.ErrUnexpectedEOF)
	}()
	if answer, err := http.DefaultClient.Do(r); err == nil {
		answer.Body.Close()
		if answer.StatusCode != http.StatusBadRequest {
			t.Errorf("%d", answer.StatusCode)
		}
	}
	if got := s.numbers(""); got != "OLD" {
		t.Errorf("stored: %s", got)
	}
}

// TestAListThatIsMuchShorterIsMeantOrRefused guards against a file that was cut off between two lines.
func TestAListThatIsMuchShorterIsMeantOrRefused(t *testing.T) {
	s := newShop(t)
	lines := make([]string, 50)
	for i := range lines {
		lines[i] = fmt.Sprintf("%02d,guppy\n", i)
	}
	list := func(n int) string { return "article,name\n" + strings.Join(lines[:n], "") }
	s.report(s.csv(list(50)))
	a := s.csv(list(24))
	apitest.WantProblem(t, "half the list", a, http.StatusUnprocessableEntity, respond.ImpossibleValue)
	if !strings.Contains(a.Body.String(), "26 of 50 articles") || !strings.Contains(a.Body.String(), "missing=remove") {
		t.Errorf("%s", a.Body)
	}
	if r := s.report(s.csv(list(25))); r.Stored.Removed != 25 {
		t.Errorf("%+v", r.Stored)
	}
	if r := s.report(s.csv(list(1), "?missing=remove")); r.Stored.Removed != 24 || s.numbers("") != "00" {
		t.Errorf("%+v", r.Stored)
	}
	if r := s.report(s.put(`{"articles":[]}`, "?missing=remove")); r.Articles != 0 || r.Stored.Removed != 1 || s.numbers("") != "" {
		t.Errorf("%+v", r.Stored)
	}
}

func TestAQuotaOfArticlesIsHeld(t *testing.T) {
	s := newShop(t)
	s.report(s.csv("article,name\nA,guppy\nB,guppy\n"))
	admin := s.Key("there", auth.Admin)
	organization := s.Organizations["here"].String()
	quotas := s.Do(http.MethodPut, "/v1/organizations/"+organization+"/quotas", `{"articles":3}`, apitest.With(admin, []string{"Content-Type", "application/json"})...)
	if u := apitest.Body[gen.Usage](t, quotas, http.StatusOK); u.Articles != (gen.Used{Used: 2, Quota: 3}) {
		t.Errorf("%+v", u)
	}
	a := s.csv("article,name\nA,oscar\nB,guppy\nC,guppy\nD,guppy\n")
	apitest.WantProblem(t, "too many", a, http.StatusConflict, respond.QuotaReached)
	if !strings.Contains(a.Body.String(), "articles: it would be 4 of 3") || s.numbers("") != "A B" || s.numbers("&species=oscar") != "" {
		t.Errorf("%s, stored %s", a.Body, s.numbers(""))
	}
	s.report(s.csv("article,name\nC,guppy\nD,guppy\nE,guppy\n")) // others go first
	if s.numbers("") != "C D E" {
		t.Errorf("stored %s", s.numbers(""))
	}
}

func TestArticlesOfOthersAreNotThere(t *testing.T) {
	s := newShop(t)
	s.report(s.csv("article,name\nA/1 ä,guppy\n"))
	stranger := s.Key("there", auth.StockRead, auth.StockWrite)
	const path = "/v1/stock/A%2F1%20%C3%A4"
	if a := s.Get(path, s.key...); a.Code != http.StatusOK {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	if a := s.Get(path, stranger...); a.Code != http.StatusNotFound {
		t.Errorf("%d", a.Code)
	}
	if a := s.Do(http.MethodDelete, path, "", apitest.With(stranger, []string{"If-Match", "*"})...); a.Code != http.StatusNotFound {
		t.Errorf("%d", a.Code)
	}
	if page := apitest.Body[gen.StockPage](t, s.Get("/v1/stock", stranger...), http.StatusOK); len(page.Articles) != 0 {
		t.Errorf("%+v", page)
	}
	mine := s.Do(http.MethodPut, "/v1/stock", "article,name\nA/1 ä,oscar\n", apitest.With(stranger, []string{"Content-Type", "text/csv"})...)
	if r := s.report(mine); r.Stored.Added != 1 {
		t.Errorf("%+v", r.Stored)
	}
	if a := apitest.Body[gen.Article](t, s.Get(path, s.key...), http.StatusOK); a.Candidates[0].Id != "poecilia-reticulata" {
		t.Errorf("%+v", a)
	}
}

func TestArticlesArePagedChangedUnderTheirTagAndDeleted(t *testing.T) {
	s := newShop(t)
	s.report(s.csv("article,name\nC,guppy\nA,oscar\nB,java fern\n"))
	first := s.Get("/v1/stock?limit=2", s.key...)
	page := apitest.Body[gen.StockPage](t, first, http.StatusOK)
	next, _, _ := strings.Cut(strings.TrimPrefix(first.Header().Get("Link"), "<"), ">")
	rest := apitest.Body[gen.StockPage](t, s.Get(next, s.key...), http.StatusOK)
	if len(page.Articles) != 2 || page.Articles[0].Article != "A" || *page.Articles[1].Kind != gen.GoodPlant || len(rest.Articles) != 1 || rest.Next != nil {
		t.Errorf("%+v, then %+v", page, rest)
	}
	a := s.Get("/v1/stock/A", s.key...)
	if again := s.Get("/v1/stock/A", apitest.With(s.key, []string{"If-None-Match", a.Header().Get("ETag")})...); again.Code != http.StatusNotModified {
		t.Errorf("%d", again.Code)
	}
	change := func(method, tag, body string) apitest.Answer {
		headers := apitest.With(s.key, []string{"Content-Type", "application/merge-patch+json"})
		if tag != "" {
			headers = append(headers, "If-Match", tag)
		}
		return s.Do(method, "/v1/stock/A", body, headers...)
	}
	for _, method := range []string{http.MethodPatch, http.MethodDelete} {
		apitest.WantProblem(t, method, change(method, "", "{}"), http.StatusPreconditionRequired, respond.PreconditionRequired)
		apitest.WantProblem(t, method, change(method, `"99"`, "{}"), http.StatusPreconditionFailed, respond.PreconditionFailed)
	}
	if b := change(http.MethodPatch, a.Header().Get("ETag"), `{"in_stock":0}`); b.Code != http.StatusOK || b.Header().Get("ETag") == a.Header().Get("ETag") || s.numbers("&in_stock=false") != "A" {
		t.Errorf("%d %s", b.Code, b.Body)
	}
	if b := change(http.MethodDelete, "*", ""); b.Code != http.StatusNoContent || s.numbers("") != "B C" {
		t.Errorf("%d, %s", b.Code, s.numbers(""))
	}
	if b := change(http.MethodDelete, "*", ""); b.Code != http.StatusNotFound {
		t.Errorf("%d", b.Code)
	}
	apitest.WantProblem(t, "no such kind", s.Get("/v1/stock?species=gupy", s.key...), http.StatusUnprocessableEntity, respond.UnknownSpecies)
}

// TestAnotherUploadUnderWayIsNotWaitedForWithoutEnd holds the lock on the articles of the organization.
func TestAnotherUploadUnderWayIsNotWaitedForWithoutEnd(t *testing.T) {
	s := newShop(t)
	s.report(s.csv("article,name\nA,guppy\n"))
	conn, err := pgx.Connect(t.Context(), s.DSN)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	if _, err := conn.Exec(t.Context(), `SELECT pg_advisory_lock(hashtextextended($1::text, 0))`, "articles "+s.Organizations["here"].String()); err != nil {
		t.Fatal(err)
	}
	busy := func(name string, a apitest.Answer) {
		apitest.WantProblem(t, name, a, http.StatusConflict, respond.RequestUnderWay)
	}
	busy("an upload", s.csv("article,name\nA,oscar\n"))
	change := apitest.With(s.key, []string{"If-Match", "*", "Content-Type", "application/merge-patch+json"})
	busy("a patch", s.Do(http.MethodPatch, "/v1/stock/A", `{"in_stock":1}`, change...))
	busy("a deletion", s.Do(http.MethodDelete, "/v1/stock/A", "", change...))
}
