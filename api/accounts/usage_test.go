package accounts_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"
)

func TestQuotasAreToldSetAndHeld(t *testing.T) {
	h := apitest.NewService(t)
	here := "/v1/organizations/" + h.Organizations["here"].String()
	admin, manager, till := h.Key("there", auth.Admin), h.Key("here", auth.Manage), h.Key("here", auth.TanksWrite)
	usage := func(key []string) gen.Usage {
		return apitest.Body[gen.Usage](t, h.Get(here+"/usage", key...), http.StatusOK)
	}
	if u := usage(manager); u.Tanks.Used != 0 || !u.Tanks.Usual || u.Tanks.Quota < 1000 || u.RecordedBytes.Quota == 0 {
		t.Errorf("%+v", u)
	}
	apitest.WantProblem(t, "of another", h.Get("/v1/organizations/"+h.Organizations["there"].String()+"/usage", manager...), http.StatusNotFound, respond.NotFound)
	apitest.WantProblem(t, "set by a manager", h.Do("PUT", here+"/quotas", `{}`, apitest.With(manager, []string{"Content-Type", "application/json"})...), http.StatusForbidden, respond.ScopeMissing)

	set := apitest.With(admin, []string{"Content-Type", "application/json"})
	if u := apitest.Body[gen.Usage](t, h.Do("PUT", here+"/quotas", `{"tanks":1,"residents":3}`, set...), http.StatusOK); u.Tanks.Quota != 1 || u.Tanks.Usual || !u.Reports.Usual {
		t.Errorf("%+v", u)
	}
	tank := `{"tank":{"volume_l":100},"residents":[{"species":"guppy"},{"species":"neon tetra"}]}`
	if a := h.Post("/v1/tanks", tank, till...); a.Code != http.StatusCreated {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	full := h.Post("/v1/tanks", tank, till...)
	apitest.WantProblem(t, "a tank too many", full, http.StatusConflict, respond.QuotaReached)
	if !strings.Contains(full.Body.String(), "tanks") || !strings.Contains(full.Body.String(), "2 of 1") {
		t.Errorf("%s", full.Body)
	}
	if u := usage(admin); u.Tanks.Used != 1 || u.Residents.Used != 2 {
		t.Errorf("%+v", u)
	}
	if u := apitest.Body[gen.Usage](t, h.Do("PUT", here+"/quotas", `{}`, set...), http.StatusOK); !u.Tanks.Usual {
		t.Errorf("%+v", u)
	}
	if a := h.Post("/v1/tanks", tank, till...); a.Code != http.StatusCreated {
		t.Errorf("with the usual quota: %d %s", a.Code, a.Body)
	}
	apitest.WantProblem(t, "of nobody", h.Do("PUT", "/v1/organizations/01a22c1f-25db-7b00-9f03-9c2947391692/quotas", `{}`, set...), http.StatusNotFound, respond.NotFound)
}

func TestAKeyWithoutAnEndHasTheUsualOne(t *testing.T) {
	h := apitest.NewService(t)
	manager := h.Key("here", auth.Manage)
	k := apitest.Body[gen.NewKey](t, h.Post("/v1/keys", `{"scopes":["manage"]}`, manager...), http.StatusCreated)
	if k.Key.ExpiresAt == nil || !k.Key.ExpiresAt.Equal(h.Clock.Now().Add(apitest.KeyLife).Truncate(time.Microsecond)) {
		t.Errorf("expires %v", k.Key.ExpiresAt)
	}
}
