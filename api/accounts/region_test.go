package accounts_test

import (
	"net/http"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"

	"github.com/jackc/pgx/v5"
)

func TestAnOrganizationSaysWhereItIs(t *testing.T) {
	h := apitest.NewService(t)
	at := "/v1/organizations/" + h.Organizations["here"].String()
	manager := apitest.With(h.Key("here", auth.Manage), []string{"Content-Type", "application/json"})
	set := func(body string, key []string) apitest.Answer {
		return h.Do(http.MethodPut, at+"/region", body, key...)
	}
	if o := apitest.Body[gen.Organization](t, h.Get(at, manager...), http.StatusOK); o.Region != nil || o.RulesOnRecord != nil || o.Name != "here" {
		t.Errorf("%+v", o)
	}
	if o := apitest.Body[gen.Organization](t, set(`{"region":" DE "}`, manager), http.StatusOK); *o.Region != "DE" || !*o.RulesOnRecord {
		t.Errorf("%+v", o)
	}
	if o := apitest.Body[gen.Organization](t, h.Get(at, manager...), http.StatusOK); *o.Region != "DE" {
		t.Errorf("%+v", o)
	}
	admin := apitest.With(h.Key("there", auth.Admin), []string{"Content-Type", "application/json"})
	if o := apitest.Body[gen.Organization](t, set(`{"region":"Atlantis"}`, admin), http.StatusOK); *o.Region != "Atlantis" || *o.RulesOnRecord {
		t.Errorf("%+v", o)
	}
	stranger := apitest.With(h.Key("there", auth.Manage), []string{"Content-Type", "application/json"})
	apitest.WantProblem(t, "a stranger", set(`{"region":"DE"}`, stranger), http.StatusNotFound, respond.NotFound)
	apitest.WantProblem(t, "blank", set(`{"region":"   "}`, manager), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	apitest.WantProblem(t, "one letter", set(`{"region":"D"}`, manager), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	apitest.WantProblem(t, "a number", set(`{"region":49}`, manager), http.StatusBadRequest, respond.MalformedBody)
	if o := apitest.Body[gen.Organization](t, set(`{}`, manager), http.StatusOK); o.Region != nil {
		t.Errorf("%+v", o)
	}
	made := apitest.Body[gen.Organization](t, h.Post("/v1/organizations", `{"name":"Elbe fish rescue","region":"Germany"}`, admin...), http.StatusCreated)
	if *made.Region != "Germany" || !*made.RulesOnRecord {
		t.Errorf("%+v", made)
	}
	apitest.WantProblem(t, "a bad region of a new one", h.Post("/v1/organizations", `{"name":"Oder","region":" x "}`, admin...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
}

func TestARegionThatAnotherRequestHoldsIsNotWaitedForWithoutEnd(t *testing.T) {
	h := apitest.NewService(t)
	ours, key := h.Things("here"), h.Key("here", auth.Manage)
	conn, err := pgx.Connect(t.Context(), h.DSN)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	tx, err := conn.Begin(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(t.Context(), `SELECT 1 FROM organizations WHERE id = $1 FOR UPDATE`, h.Organizations["here"]); err != nil {
		t.Fatal(err)
	}
	a := h.Call(apitest.Contract().Operations["setRegion"], ours, key...)
	apitest.WantProblem(t, "setRegion", a, http.StatusConflict, respond.RequestUnderWay)
	if !strings.Contains(a.Header().Get("Retry-After"), "1") {
		t.Errorf("%v", a.Header())
	}
}
