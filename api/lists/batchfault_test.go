package lists

import (
	"bytes"
	"errors"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/work"
	"commensal/internal/conflict"

	"github.com/labstack/echo/v4"
)

// brokenShelf is a stock that fails in a way that no client is told of.
type brokenShelf struct{ Shelf }

func (brokenShelf) Keyed(echo.Context) bool { return true }

func (brokenShelf) ArticlesOf(echo.Context, []string) (map[string]string, error) {
	return nil, errors.New("the shelf fell down")
}

type nowhere struct{ Adopters }

func (nowhere) Region(echo.Context) string { return "" }

// A line that the service fails to answer is told so, without the cause; the cause is logged once, with the number of the line, and
// the other lines go on.
func TestAFaultOfTheServiceInABatchIsLoggedOnceWithItsLine(t *testing.T) {
	var log bytes.Buffer
	book := fixture.Fitted(t)
	contract, err := validate.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	s := New(respond.Books{Current: func() *conflict.Book { return book }, Version: "test"}, work.New(0), -1, slog.New(slog.NewTextHandler(&log, nil)))
	s.HoldLines(contract)
	s.Join(nil, nowhere{}, nil, brokenShelf{})
	const sound = `{"detail":"brief","residents":[{"species":"guppy"}]}`
	request := httptest.NewRequest("POST", "/v1/checks/batch", strings.NewReader(sound+"\n\n"+`{"residents":[{"article":"F-1"}]}`+"\n"+sound))
	answer := httptest.NewRecorder()
	if err := s.CheckBatch(echo.New().NewContext(request, answer), gen.CheckBatchParams{}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"line":1,"status":200`, `"line":3,`, `"status":500`, `"line":4,"status":200`} {
		if !strings.Contains(answer.Body.String(), want) {
			t.Errorf("no %s in %s", want, answer.Body)
		}
	}
	if strings.Contains(answer.Body.String(), "fell down") {
		t.Errorf("the cause is told: %s", answer.Body)
	}
	if got := log.String(); strings.Count(got, "\n") != 1 || !strings.Contains(got, "line=3") || !strings.Contains(got, "the shelf fell down") {
		t.Errorf("logged: %q", got)
	}
}
