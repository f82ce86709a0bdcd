package api_test

import (
	"encoding/json"
	"flag"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/internal/auth"
	"commensal/internal/conflict"
)

var update = flag.Bool("update", false, "write the examples of answers in the contract anew; then make generate")

// The example of every operation is carried out, and what it is answered has the status of an example answer and every
// field of it. An example may show fewer entries of a list than the answer has, and never a field that no answer has. That
// examples are as their schemas want them is for the lint of the contract.
func TestEveryExampleIsAnsweredAsTheContractShows(t *testing.T) {
	book := fixture.Fitted(t)
	few := apitest.NewService(t, apitest.WithTallies(nil))
	full := apitest.NewService(t, apitest.WithTallies(nil), func(c *api.Config) { c.Book = func() *conflict.Book { return book } })
	shown, operations := 0, apitest.Contract().Operations
	for _, id := range slices.Sorted(maps.Keys(operations)) {
		h := full
		if slices.Contains(operations[id].Tags, "curation") {
			h = few // whose catalogue is in the database
		}
		t.Run(id, func(t *testing.T) {
			h.T, h.Witness.T = t, t
			if answersAsShown(t, h, operations[id]) {
				shown++
			}
		})
	}
	if shown < 40 {
		t.Errorf("only %d operations show an answer", shown)
	}
}

// What is kept where the body asks for it is answered with 201, and that answer has an example too.
func TestWhatIsKeptIsAnsweredAsTheContractShows(t *testing.T) {
	book := fixture.Fitted(t)
	h := apitest.NewService(t, apitest.WithTallies(nil), func(c *api.Config) { c.Book = func() *conflict.Book { return book } })
	for id, field := range map[string]string{"checkList": "record", "checkTankWithIncoming": "record", "placeFish": "store"} {
		t.Run(id, func(t *testing.T) {
			h.T, h.Witness.T = t, t
			op := apitest.Contract().Operations[id]
			body := with(t, apitest.ExampleBody(t, op), "/"+field, true)
			a := h.CallWith(op, h.Things("here"), body, h.Key("here", auth.AllScopes()...)...)
			if a.Code != http.StatusCreated || !asShown(t, op, a) {
				t.Errorf("%d %s", a.Code, apitest.Clipped(a.Body.String()))
			}
		})
	}
}

// answersAsShown carries out an example, and reports whether the contract shows an answer to it: one in JSON it has to.
func answersAsShown(t *testing.T, h *apitest.Service, op *validate.Operation) bool {
	t.Helper()
	return asShown(t, op, example(t, h, op))
}

// asShown reports whether the contract shows an answer, and holds the answer against that.
func asShown(t *testing.T, op *validate.Operation, a apitest.Answer) bool {
	t.Helper()
	if a.Code >= http.StatusMultipleChoices {
		t.Fatalf("%d %s", a.Code, apitest.Clipped(a.Body.String()))
	}
	if a.Header().Get("Content-Type") != "application/json" {
		return false
	}
	var answer any
	if err := json.Unmarshal(a.Body.Bytes(), &answer); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := writeExample(op, a.Code, answer); err != nil {
			t.Error(err)
		}
		return true
	}
	shown := apitest.Contract().At("/paths/" + respond.PointerToken(op.Path) + "/" + strings.ToLower(op.Method) + "/responses/" +
		strconv.Itoa(a.Code) + "/content/application~1json/example")
	if shown == nil {
		t.Fatalf("the answer %d has no example; -update writes it", a.Code)
	}
	has := map[string]bool{}
	places(answer, "", has)
	wanted := map[string]bool{}
	places(shown, "", wanted)
	for place := range wanted {
		if !has[place] {
			t.Errorf("the example has %s, and the answer has not; -update writes it anew", place)
		}
	}
	return len(wanted) > 0
}

// example makes the request of an operation as the contract shows it.
func example(t *testing.T, h *apitest.Service, op *validate.Operation) apitest.Answer {
	t.Helper()
	things := h.Things("here")
	for _, p := range validate.AsList(apitest.Contract().Described(op)["parameters"]) {
		p := apitest.Contract().Follow(p)
		if name, _ := p["name"].(string); p["in"] == "path" && things[name] == "" {
			things[name], _ = p["example"].(string)
		}
	}
	if op.ID == "listReadings" { // there is none yet
		h.Example(apitest.Contract().Operations["addReading"], things)
	}
	return h.Example(op, things)
}

// places are the places of a value that have something, entries of lists taken together.
func places(v any, at string, into map[string]bool) {
	into[at] = true
	switch v := v.(type) {
	case map[string]any:
		for name, x := range v {
			places(x, at+"/"+name, into)
		}
	case []any:
		for _, x := range v {
			places(x, at+"/-", into)
		}
	}
}
