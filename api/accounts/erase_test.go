package accounts_test

import (
	"net/http"
	"testing"

	"commensal/api/apitest"
	"commensal/api/respond"
	"commensal/internal/auth"
)

func TestErasingLeavesNothingOfAnOrganization(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := k.Tank(`{"tank":{},"residents":[{"species":"guppy"}]}`)
	k.Post(tank+"/readings", `{"ph":7}`, k.Key...)
	theirs := k.Service.Things("there")
	manager := k.Service.Key("here", auth.Manage)
	if a := k.Do(http.MethodDelete, "/v1/organizations/"+k.Organizations["here"].String()+"/data", "", manager...); a.Code != http.StatusNoContent {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	apitest.WantProblem(t, "the tank", k.Get(tank, k.Key...), http.StatusNotFound, respond.NotFound)
	if a := k.Get("/v1/tanks/"+theirs["tank"], k.Service.Key("there", auth.TanksRead)...); a.Code != http.StatusOK {
		t.Errorf("another's tank is gone too: %d", a.Code)
	}
}
