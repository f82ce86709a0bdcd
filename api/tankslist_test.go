package api

import (
	"net/http"
	"strings"
	"testing"

	"commensal/api/gen"
	"commensal/internal/auth"
)

func TestTanksAreFoundByTheOrganizationsOwnNumberAndPaged(t *testing.T) {
	k := newKeeper(t)
	var paths []string
	for _, ref := range []string{"A", "B", "C"} {
		paths = append(paths, k.tank(`{"external_ref":"`+ref+`","tank":{}}`))
	}
	found := body[gen.TanksPage](t, k.get("/v1/tanks?external_ref=B", k.key...), http.StatusOK)
	if len(found.Tanks) != 1 || "/v1/tanks/"+found.Tanks[0].Id != paths[1] {
		t.Errorf("%+v", found)
	}
	stranger := k.house.key("there", auth.TanksRead, auth.TanksWrite)
	if other := body[gen.TanksPage](t, k.get("/v1/tanks?external_ref=B", stranger...), http.StatusOK); len(other.Tanks) != 0 {
		t.Errorf("a stranger finds %+v", other)
	}
	if a := k.post("/v1/tanks", `{"external_ref":"B","tank":{}}`, stranger...); a.Code != http.StatusCreated {
		t.Errorf("another organization may not use the number: %d", a.Code)
	}
	var seen []string
	for next := "/v1/tanks?limit=2"; next != ""; {
		a := k.get(next, k.key...)
		for _, tank := range body[gen.TanksPage](t, a, http.StatusOK).Tanks {
			seen = append(seen, "/v1/tanks/"+tank.Id)
		}
		next, _, _ = strings.Cut(strings.TrimPrefix(a.Header().Get("Link"), "<"), ">")
	}
	if strings.Join(seen, " ") != strings.Join(paths, " ") {
		t.Errorf("%v, want %v", seen, paths)
	}
	cursor := *body[gen.TanksPage](t, k.get("/v1/tanks?limit=1", k.key...), http.StatusOK).Next
	wantProblem(t, "another organization's cursor", k.get("/v1/tanks?cursor="+cursor, stranger...), http.StatusBadRequest, invalidCursor)
}

func TestATankHasAtMostTwoHundredLines(t *testing.T) {
	k := newKeeper(t)
	tank := k.tank(`{"tank":{},"residents":[` + strings.TrimSuffix(strings.Repeat(`{"species":"guppy"},`, 199), ",") + `]}`)
	k.resident(tank, `{"species":"guppy"}`)
	wantProblem(t, "one more", k.post(tank+"/residents", `{"species":"guppy"}`, k.key...), http.StatusUnprocessableEntity, impossibleValue)
	if lines := body[gen.ResidentsPage](t, k.get(tank+"/residents?limit=200", k.key...), http.StatusOK); len(lines.Residents) != 200 || lines.Next != nil {
		t.Errorf("%d lines", len(lines.Residents))
	}
}

func TestErasingLeavesNothingOfAnOrganization(t *testing.T) {
	k := newKeeper(t)
	tank := k.tank(`{"tank":{},"residents":[{"species":"guppy"}]}`)
	k.post(tank+"/readings", `{"ph":7}`, k.key...)
	theirs := k.house.things("there")
	manager := k.house.key("here", auth.Manage)
	if a := k.do(http.MethodDelete, "/v1/organizations/"+k.org["here"].String()+"/data", "", manager...); a.Code != http.StatusNoContent {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	wantProblem(t, "the tank", k.get(tank, k.key...), http.StatusNotFound, notFound)
	if a := k.get("/v1/tanks/"+theirs["tank"], k.house.key("there", auth.TanksRead)...); a.Code != http.StatusOK {
		t.Errorf("another's tank is gone too: %d", a.Code)
	}
}
