package tanks_test

import (
	"net/http"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"
)

func TestTanksAreFoundByTheOrganizationsOwnNumberAndPaged(t *testing.T) {
	k := apitest.NewTankOwner(t)
	var paths []string
	for _, ref := range []string{"A", "B", "C"} {
		paths = append(paths, k.Tank(`{"external_ref":"`+ref+`","tank":{}}`))
	}
	found := apitest.Body[gen.TanksPage](t, k.Get("/v1/tanks?external_ref=B", k.Key...), http.StatusOK)
	if len(found.Tanks) != 1 || "/v1/tanks/"+found.Tanks[0].Id != paths[1] {
		t.Errorf("%+v", found)
	}
	stranger := k.Service.Key("there", auth.TanksRead, auth.TanksWrite)
	if other := apitest.Body[gen.TanksPage](t, k.Get("/v1/tanks?external_ref=B", stranger...), http.StatusOK); len(other.Tanks) != 0 {
		t.Errorf("a stranger finds %+v", other)
	}
	if a := k.Post("/v1/tanks", `{"external_ref":"B","tank":{}}`, stranger...); a.Code != http.StatusCreated {
		t.Errorf("another organization may not use the number: %d", a.Code)
	}
	var seen []string
	for next := "/v1/tanks?limit=2"; next != ""; {
		a := k.Get(next, k.Key...)
		for _, tank := range apitest.Body[gen.TanksPage](t, a, http.StatusOK).Tanks {
			seen = append(seen, "/v1/tanks/"+tank.Id)
		}
		next, _, _ = strings.Cut(strings.TrimPrefix(a.Header().Get("Link"), "<"), ">")
	}
	if strings.Join(seen, " ") != strings.Join(paths, " ") {
		t.Errorf("%v, want %v", seen, paths)
	}
	cursor := *apitest.Body[gen.TanksPage](t, k.Get("/v1/tanks?limit=1", k.Key...), http.StatusOK).Next
	apitest.WantProblem(t, "another organization's cursor", k.Get("/v1/tanks?cursor="+cursor, stranger...), http.StatusBadRequest, respond.InvalidCursor)
}

func TestATankHasAtMostTwoHundredLines(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := k.Tank(`{"tank":{},"residents":[` + strings.TrimSuffix(strings.Repeat(`{"species":"guppy"},`, 199), ",") + `]}`)
	k.Resident(tank, `{"species":"guppy"}`)
	apitest.WantProblem(t, "one more", k.Post(tank+"/residents", `{"species":"guppy"}`, k.Key...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	if lines := apitest.Body[gen.ResidentsPage](t, k.Get(tank+"/residents?limit=200", k.Key...), http.StatusOK); len(lines.Residents) != 200 || lines.Next != nil {
		t.Errorf("%d lines", len(lines.Residents))
	}
}
