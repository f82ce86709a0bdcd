package lists_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/work"
)

func postLines(w *apitest.Witness, query, body string) apitest.Answer {
	return w.Do("POST", "/v1/checks/batch"+query, body, "Content-Type", "application/x-ndjson")
}

func batchLines(t *testing.T, a apitest.Answer) (out []gen.BatchLine) {
	t.Helper()
	if a.Code != http.StatusOK {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	for line := range strings.Lines(a.Body.String()) {
		var l gen.BatchLine
		if err := json.Unmarshal([]byte(line), &l); err != nil {
			t.Fatal(err)
		}
		out = append(out, l)
	}
	return out
}

// An editor's byte order mark is no part of the first list, and belongs nowhere else.
func TestABatchMayBeginWithAByteOrderMark(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	const list = `{"detail":"brief","residents":[{"species":"guppy"}]}`
	got := batchLines(t, postLines(w, "", "\ufeff"+list+"\r\n\ufeff"+list+"\n"))
	if len(got) != 2 || got[0].Status != http.StatusOK || got[1].Status != http.StatusBadRequest {
		t.Errorf("%+v", got)
	}
}

func TestEveryLineOfABatchIsAnsweredAsByItself(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	lists := []string{strings.ReplaceAll(mixed(""), "\n", " "), `{"residents":[{"species":"oscarr"}]}`, `not JSON`, `{"residents":[{"species":"guppy","count":0}]}`,
		`{"residents":[{"species":"guppy"}],"detail":"brief"}`, `{"residents":[{"species":"guppy"}],"record":true}`, strings.ReplaceAll(mixed(""), "\n", " ")}
	got := batchLines(t, postLines(w, "", "\n"+strings.Join(lists, "\n\n")+"\r\n \n"))
	if len(got) != len(lists) {
		t.Fatalf("%d answers to %d lines", len(got), len(lists))
	}
	for i, l := range got {
		if l.Line != 2+2*i {
			t.Errorf("%d is told to be line %d", i, l.Line)
		}
		if strings.Contains(lists[i], "record") {
			if l.Status != 422 || (*l.Problem.Errors)[0].Pointer != "/record" {
				t.Errorf("a record: %+v", l)
			}
			continue
		}
		alone := w.Post("/v1/checks", lists[i])
		switch {
		case l.Status != alone.Code:
			t.Errorf("%s: %d, alone %d", lists[i], l.Status, alone.Code)
		case l.Status == 200 && string(*l.Answer) != strings.TrimSpace(alone.Body.String()):
			t.Errorf("%s: %s, alone %s", lists[i], *l.Answer, alone.Body)
		case l.Status != 200 && (l.Problem.Type != apitest.ProblemIn(t, alone).Type || l.Problem.Detail != apitest.ProblemIn(t, alone).Detail):
			t.Errorf("%s: %+v, alone %s", lists[i], l.Problem, alone.Body)
		}
	}
	brief := batchLines(t, postLines(w, "?detail=brief", lists[0]+"\n"+lists[4]))
	for _, l := range brief {
		if l.Answer == nil || !strings.Contains(string(*l.Answer), `"reasons":`) {
			t.Errorf("in brief: %+v", l)
		}
	}
}

func TestALineThatIsTooLongIsItsOwnErrorAndTheOthersGoOn(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	sound := `{"detail":"brief","residents":[{"species":"guppy"}]}`
	long := `{"residents":[{"species":"` + strings.Repeat("x", 2<<20) + `"}]}`
	got := batchLines(t, postLines(w, "", sound+"\n"+long+"\n"+sound+"\n"+long))
	if len(got) != 4 {
		t.Fatalf("%d answers", len(got))
	}
	for i, status := range []int{200, 413, 200, 413} {
		if got[i].Status != status || got[i].Line != i+1 {
			t.Errorf("line %d: %+v", i+1, got[i])
		}
	}
}

func TestABatchHasItsBounds(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	many := batchLines(t, postLines(w, "", strings.Repeat(`{"detail":"brief","residents":[{"species":"guppy"}]}`+"\n", 1003)))
	if len(many) != 1001 || many[999].Status != 200 || many[1000].Status != 422 {
		t.Errorf("%d answers to 1,003 lines", len(many))
	}
	for _, empty := range []string{"", "\n", " \n\r\n", strings.Repeat("\n", 20_000)} {
		apitest.WantProblem(t, "no line", postLines(w, "", empty), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	}
	apitest.WantProblem(t, "JSON", w.Post("/v1/checks/batch", `{"residents":[{"species":"guppy"}]}`), http.StatusUnsupportedMediaType, respond.UnsupportedMediaType)
	apitest.WantProblem(t, "an unknown detail", postLines(w, "?detail=some", "{}"), http.StatusBadRequest, respond.MalformedParameter)
}

func TestEachLineOfABatchCostsWhatItWouldCostAlone(t *testing.T) {
	s := apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) { c.RateLimit = api.RateLimit{Quota: 10, Window: time.Hour} })
	w := apitest.Ask(t, s)
	if got := batchLines(t, postLines(w, "", strings.Repeat(`{"detail":"brief","residents":[{"species":"guppy"}]}`+"\n", 12))); len(got) != 12 {
		t.Fatalf("%d answers", len(got))
	}
	apitest.WantProblem(t, "after 12 lists of 10", w.Get("/v1/species/guppy"), http.StatusTooManyRequests, respond.TooManyRequests)
}

// All of a batch has a ceiling of work. Every line behind it is answered too, and in another batch it is judged.
func TestABatchAsAWholeHasACeiling(t *testing.T) {
	const limit, ceiling, lines = 10_000, 20 * 10_000, 400
	var log bytes.Buffer
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) {
		c.WorkLimit, c.CacheBytes, c.Logger = limit, -1, slog.New(slog.NewJSONHandler(&log, nil))
	}))
	var body strings.Builder
	for i := range lines {
		fmt.Fprintf(&body, `{"residents":[{"species":"guppy","count":%d},{"species":"oscar"}]}`+"\n", 1+i)
	}
	got := batchLines(t, postLines(w, "", body.String()))
	if len(got) != lines {
		t.Fatalf("%d answers to %d lines", len(got), lines)
	}
	judged := slices.IndexFunc(got, func(l gen.BatchLine) bool { return l.Status != http.StatusOK })
	for i, l := range got {
		want := http.StatusOK
		if i >= judged {
			want = http.StatusTooManyRequests
		}
		if l.Line != i+1 || l.Status != want || want != http.StatusOK && (l.Answer != nil || l.Problem.Type != "/problems/too-many-requests") {
			t.Fatalf("line %d: %+v", i+1, l)
		}
	}
	var line struct{ Cost float64 }
	if err := json.Unmarshal(log.Bytes(), &line); err != nil || judged < 10 || line.Cost < ceiling || line.Cost > ceiling+lines*1000+2*limit {
		t.Errorf("%d lines judged, cost %v, %v", judged, line.Cost, err)
	}
	_, rest, _ := strings.Cut(body.String(), fmt.Sprintf(`"count":%d}`, judged))
	for i, l := range batchLines(t, postLines(w, "", rest[strings.Index(rest, "\n")+1:])) {
		if i < 10 && l.Status != http.StatusOK {
			t.Errorf("line %d of the next batch: %+v", i+1, l)
		}
	}
}

// The ceiling is no hindrance to a thousand baskets.
func TestAThousandBasketsAreFarBelowTheCeilingOfABatch(t *testing.T) {
	var log bytes.Buffer
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t), func(c *api.Config) {
		c.CacheBytes, c.Logger = -1, slog.New(slog.NewJSONHandler(&log, nil))
	}))
	const some = 10
	batchLines(t, postLines(w, "", strings.Repeat(strings.ReplaceAll(fixture.Dozen, "\n", " ")+"\n", some)))
	var line struct{ Cost float64 }
	if err := json.Unmarshal(log.Bytes(), &line); err != nil || line.Cost/some*1000 > 20*work.DefaultLimit/2 {
		t.Errorf("%d baskets cost %v, %v", some, line.Cost, err)
	}
}

// A client that sends a line and waits for its answer gets it before it sends the next; one that leaves ends the work.
func TestAnswersOfABatchComeWhileLinesAreSent(t *testing.T) {
	var ended = make(chan struct{})
	handler := apitest.ServerOf(t, fixture.Few(t)).Handler()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer close(ended)
		handler.ServeHTTP(w, r)
	}))
	defer server.Close()
	ctx, cancel := context.WithCancel(t.Context())
	body, lines := io.Pipe()
	r, err := http.NewRequestWithContext(ctx, "POST", server.URL+"/v1/checks/batch", body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-ndjson")
	go fmt.Fprintln(lines, `{"detail":"brief","residents":[{"species":"guppy"}]}`)
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	in := bufio.NewReader(answer.Body)
	for i := range 3 {
		text, err := in.ReadString('\n')
		if err != nil || !strings.Contains(text, `"status":200`) {
			t.Fatalf("answer %d: %v %s", i, err, text)
		}
		if i < 2 {
			fmt.Fprintln(lines, `{"detail":"brief","residents":[{"species":"guppy"}]}`)
		}
	}
	cancel()
	<-ended
}
