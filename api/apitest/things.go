package apitest

import (
	"encoding/json"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"

	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/internal/articles"
	"commensal/internal/auth"
	"commensal/internal/species"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// fewestKeyed is how many operations with a key there have been; fewer mean that they are not found.
const fewestKeyed = 35

// KeyedOperations are the operations of the contract that need a key, in order.
func KeyedOperations(t testing.TB) (list []*validate.Operation) {
	t.Helper()
	all := Contract().Operations
	for _, id := range slices.Sorted(maps.Keys(all)) {
		if len(all[id].Scopes) > 0 {
			list = append(list, all[id])
		}
	}
	if len(list) < fewestKeyed {
		t.Fatalf("only %d operations need a key: what is tried with all of them shows little", len(list))
	}
	return list
}

// Things are ids of one organization's things, by the name of the path parameter that they stand
// for. An operation with a new parameter needs a new thing here, or its test fails.
type Things map[string]string

// Things makes one of everything for an organization.
func (h *Service) Things(organization string) Things {
	h.T.Helper()
	text := h.Key(organization, auth.TanksRead)[1]
	out := Things{"organization": h.Organizations[organization].String(), "key": strings.Split(text, "_")[1]}
	err := h.Store.Write(h.T.Context(), h.Organizations[organization], func(tx *store.Tx) error {
		tank, err := tx.CreateTank(h.T.Context(), store.Tank{Description: []byte("{}")}, nil)
		if err != nil {
			return err
		}
		line := store.Resident{Species: "paracheirodon-innesi", Line: []byte(`{"species":"paracheirodon-innesi","count":12}`)}
		lines, err := tx.AddResidents(h.T.Context(), tank.ID, []store.Resident{line}, 1)
		if err != nil {
			return err
		}
		out["tank"], out["resident"] = tank.ID.String(), lines[0].ID.String()
		check, err := tx.RecordCheck(h.T.Context(), onHold(h.T))
		if err != nil {
			return err
		}
		report, err := tx.CreateReport(h.T.Context(), store.Report{Fish: [2]store.ReportedFish{{Species: "paracheirodon-innesi"}, {Species: "paracheirodon-innesi"}}})
		if err != nil {
			return err
		}
		out["check"], out["report"] = check.ID.String(), report.ID.String()
		tank, err = tx.CreateTank(h.T.Context(), store.Tank{Label: &proposedTank, Description: []byte(`{"size":"120x50x50cm"}`)}, nil)
		if err != nil {
			return err
		}
		placement, err := tx.CreatePlacement(h.T.Context(), proposed(&tank))
		out["placement"] = placement.ID.String()
		return err
	})
	if err != nil {
		h.T.Fatal(err)
	}
	number := "A-" + uuid.NewString()[:8]
	stored := store.Upload{Remove: true, List: []store.Article{{Article: articles.Article{Number: number, Name: "Neon tetra"},
		Meaning: articles.Meaning{Match: articles.Matched, Kinds: []species.ID{"paracheirodon-innesi"}}}}}
	if _, err := h.Store.ReplaceArticles(h.T.Context(), h.Organizations[organization], stored); err != nil {
		h.T.Fatal(err)
	}
	out["article"] = number
	out["species"], out["revision"] = "danio-rerio", strconv.FormatInt(h.Catalogue(), 10)
	return out
}

// At fills the ids into a path template.
func (t Things) At(tb testing.TB, op *validate.Operation) string {
	tb.Helper()
	path := op.Path
	for name, id := range t {
		path = strings.ReplaceAll(path, "{"+name+"}", id)
	}
	if strings.Contains(path, "{") {
		tb.Fatalf("%s: make a thing for its path %s", op.ID, path)
	}
	return path
}

// ExampleBody is the example of the operation's body in the contract; "" for none.
func ExampleBody(tb testing.TB, op *validate.Operation) string {
	tb.Helper()
	if !op.HasBody() {
		return ""
	}
	pointer := "/paths/" + respond.PointerToken(op.Path) + "/" + strings.ToLower(op.Method) + "/requestBody/content/" + respond.PointerToken(op.Media) + "/example"
	example := Contract().At(pointer)
	if example == nil {
		tb.Fatalf("%s: its body has no example", op.ID)
	}
	text, err := json.Marshal(example)
	if err != nil {
		tb.Fatal(err)
	}
	return string(text)
}

// Example makes the request of an operation as its example has it, with a key where it needs one.
func (h *Service) Example(op *validate.Operation, of Things) Answer {
	h.T.Helper()
	var key []string
	if len(op.Scopes) > 0 {
		key = h.Good(op, "here")
	}
	return h.Call(op, of, key...)
}

// Call makes the request of an operation as its example has it.
func (h *Service) Call(op *validate.Operation, of Things, headers ...string) Answer {
	h.T.Helper()
	return h.CallWith(op, of, ExampleBody(h.T, op), headers...)
}

// CallWith is Call with another body.
func (h *Service) CallWith(op *validate.Operation, of Things, body string, headers ...string) Answer {
	h.T.Helper()
	if op.HasBody() {
		headers = append([]string{"Content-Type", op.Media}, headers...)
	}
	if op.Lists(http.StatusPreconditionRequired) {
		headers = append([]string{"If-Match", "*"}, headers...)
	}
	return h.Do(op.Method, of.At(h.T, op), body, headers...)
}

// Good is a key that the operation accepts: of an organization, with the first scope
// named; admin only where nothing else will do.
func (h *Service) Good(op *validate.Operation, organization string) []string {
	return h.Key(organization, op.Scopes[0])
}

// RecordsCheck reports a POST that stores something only where its body asks for a record.
func RecordsCheck(op *validate.Operation) bool {
	return op.ID == "checkList" || op.ID == "checkTankWithIncoming"
}
