package accounts_test

import (
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/internal/auth"
)

func TestAnAdminMakesAnOrganizationAndItsFirstKey(t *testing.T) {
	h := apitest.NewService(t)
	admin := h.Key("here", auth.Admin)
	o := apitest.Body[gen.Organization](t, h.Post("/v1/organizations", `{"name":" Reef corner "}`, admin...), http.StatusCreated)
	if o.Name != "Reef corner" {
		t.Errorf("%+v", o)
	}
	apitest.WantProblem(t, "the same name again", h.Post("/v1/organizations", `{"name":"Reef corner"}`, admin...), http.StatusConflict, respond.AlreadyExists)
	apitest.WantProblem(t, "a blank name", h.Post("/v1/organizations", `{"name":" "}`, admin...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	made := apitest.Body[gen.NewKey](t, h.Post("/v1/keys", `{"organization":"`+o.Id+`","scopes":["manage"],"label":"office"}`, admin...), http.StatusCreated)
	if made.Text == nil || made.Key.Organization != o.Id || !strings.Contains(*made.Text, "_"+made.Key.Id+"_") {
		t.Fatalf("%+v", made)
	}
	manager := []string{"Authorization", "Bearer " + *made.Text}
	list := apitest.Body[gen.KeysPage](t, h.Get("/v1/keys", manager...), http.StatusOK)
	if len(list.Keys) != 1 || list.Keys[0].Id != made.Key.Id || list.Keys[0].Label != "office" {
		t.Errorf("%+v", list)
	}
	if strings.Contains(h.Get("/v1/keys", manager...).Body.String(), *made.Text) {
		t.Error("the list tells the text")
	}
	if list = apitest.Body[gen.KeysPage](t, h.Get("/v1/keys?organization="+o.Id, admin...), http.StatusOK); len(list.Keys) != 1 {
		t.Errorf("an admin sees %+v", list)
	}
	h.Clock.Turn(auth.MaxStaleness)
	if a := h.Do("DELETE", "/v1/keys/"+made.Key.Id+"?organization="+o.Id, "", admin...); a.Code != http.StatusNoContent {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	apitest.WantProblem(t, "the revoked key", h.Get("/v1/keys", manager...), http.StatusUnauthorized, respond.KeyRefused)
}

func TestAManagerGrantsNothingBeyondTheOrganization(t *testing.T) {
	h := apitest.NewService(t)
	manager := h.Key("here", auth.Manage, auth.TanksRead)
	for name, c := range map[string]struct {
		body   string
		status int
		slug   respond.Slug
	}{
		"admin":                 {`{"scopes":["admin"]}`, http.StatusForbidden, respond.ScopeMissing},
		"curate":                {`{"scopes":["curate"]}`, http.StatusForbidden, respond.ScopeMissing},
		"another organization":  {`{"scopes":["tanks:read"],"organization":"` + h.Organizations["there"].String() + `"}`, http.StatusNotFound, respond.NotFound},
		"no organization":       {`{"scopes":["tanks:read"],"organization":"nobody"}`, http.StatusNotFound, respond.NotFound},
		"a scope twice":         {`{"scopes":["tanks:read","tanks:read"]}`, http.StatusUnprocessableEntity, respond.ImpossibleValue},
		"a scope that it lacks": {`{"scopes":["tanks:read","checks:write"]}`, http.StatusForbidden, respond.ScopeMissing},
		"no scope":              {`{"scopes":[]}`, http.StatusUnprocessableEntity, respond.ImpossibleValue},
		"an invented scope":     {`{"scopes":["everything"]}`, http.StatusBadRequest, respond.MalformedBody},
		"a key that is over":    {`{"scopes":["tanks:read"],"expires_at":"2020-01-01T00:00:00Z"}`, http.StatusUnprocessableEntity, respond.ImpossibleValue},
		"a day that is over":    {`{"scopes":["tanks:read"],"expires_at":"2020-01-01"}`, http.StatusUnprocessableEntity, respond.ImpossibleValue},
		"no moment":             {`{"scopes":["tanks:read"],"expires_at":"tomorrow"}`, http.StatusBadRequest, respond.MalformedBody},
		"a label of two lines":  {`{"scopes":["tanks:read"],"label":"a\nb"}`, http.StatusUnprocessableEntity, respond.ImpossibleValue},
	} {
		apitest.WantProblem(t, name, h.Post("/v1/keys", c.body, manager...), c.status, c.slug)
	}
	own := apitest.Body[gen.NewKey](t, h.Post("/v1/keys", `{"scopes":["tanks:read"],"organization":"`+h.Organizations["here"].String()+`"}`, manager...), http.StatusCreated)
	if own.Key.Organization != h.Organizations["here"].String() {
		t.Errorf("%+v", own.Key)
	}
	apitest.WantProblem(t, "keys of another", h.Get("/v1/keys?organization="+h.Organizations["there"].String(), manager...), http.StatusNotFound, respond.NotFound)
}

func TestARepeatedRequestForAKeyDoesNotTellItsText(t *testing.T) {
	h := apitest.NewService(t)
	manager := apitest.With(h.Key("here", auth.Manage, auth.TanksRead, auth.TanksWrite), apitest.Idempotency("first key"))
	first := h.Post("/v1/keys", `{"scopes":["tanks:read"]}`, manager...)
	again := h.Post("/v1/keys", `{"scopes":["tanks:read"]}`, manager...)
	a, b := apitest.Body[gen.NewKey](t, first, http.StatusCreated), apitest.Body[gen.NewKey](t, again, http.StatusCreated)
	if a.Text == nil || b.Text != nil || a.Key.Id != b.Key.Id {
		t.Errorf("%s\n%s", first.Body, again.Body)
	}
	if first.Header().Get("Idempotent-Replayed") != "" || again.Header().Get("Idempotent-Replayed") != "true" {
		t.Error("the repeat is not marked as one, or the first is")
	}
	apitest.WantProblem(t, "another body", h.Post("/v1/keys", `{"scopes":["tanks:write"]}`, manager...), http.StatusUnprocessableEntity, respond.IdempotencyKeyReused)
}

func TestListsOfOrganizationsAndKeysArePaged(t *testing.T) {
	h := apitest.NewService(t)
	admin := h.Key("here", auth.Admin)
	h.Key("here", auth.TanksRead)
	first := h.Get("/v1/organizations?limit=1", admin...)
	page := apitest.Body[gen.OrganizationsPage](t, first, http.StatusOK)
	if len(page.Organizations) != 1 || page.Organizations[0].Name != "here" || page.Next == nil || !strings.Contains(first.Header().Get("Link"), `rel="next"`) {
		t.Fatalf("%s %v", first.Body, first.Header())
	}
	link, _, _ := strings.Cut(strings.TrimPrefix(first.Header().Get("Link"), "<"), ">")
	if page = apitest.Body[gen.OrganizationsPage](t, h.Get(link, admin...), http.StatusOK); page.Organizations[0].Name != "there" || page.Next != nil {
		t.Errorf("%+v", page)
	}
	keys := apitest.Body[gen.KeysPage](t, h.Get("/v1/keys?limit=1", admin...), http.StatusOK)
	if len(keys.Keys) != 1 || keys.Next == nil {
		t.Fatalf("%+v", keys)
	}
	rest := apitest.Body[gen.KeysPage](t, h.Get("/v1/keys?limit=1&cursor="+*keys.Next, admin...), http.StatusOK)
	if len(rest.Keys) != 1 || rest.Keys[0].Id <= keys.Keys[0].Id || rest.Next != nil {
		t.Errorf("%+v", rest)
	}
	for name, cursor := range map[string]string{"damaged": "xx", "of another list": *keys.Next} {
		apitest.WantProblem(t, name, h.Get("/v1/organizations?cursor="+cursor, admin...), http.StatusBadRequest, respond.InvalidCursor)
	}
}

func TestKeysAreRefusedInWordsThatHelp(t *testing.T) {
	h := apitest.NewService(t)
	expiring := h.KeyWith("here", auth.Key{Scopes: []auth.Scope{auth.Manage}, ExpiresAt: h.Clock.Now().Add(time.Hour)})
	if a := h.Get("/v1/keys", expiring...); a.Code != http.StatusOK {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	h.Clock.Turn(time.Hour)
	for _, c := range []struct {
		name      string
		header    []string
		slug      respond.Slug
		challenge string
	}{
		{"none", nil, respond.KeyMissing, `Bearer realm="commensal"`},
		{"another scheme", []string{"Authorization", "Basic YTpi"}, respond.KeyMissing, `Bearer realm="commensal"`},
		{"a slip", []string{"Authorization", "Bearer cmsl_abc"}, respond.KeyRefused, `error="invalid_token"`},
		{"expired", expiring, respond.KeyRefused, `error_description="expired"`},
	} {
		a := h.Get("/v1/keys", c.header...)
		apitest.WantProblem(t, c.name, a, http.StatusUnauthorized, c.slug)
		if !strings.Contains(a.Header().Get("WWW-Authenticate"), c.challenge) {
			t.Errorf("%s: challenge %q", c.name, a.Header().Get("WWW-Authenticate"))
		}
	}
	a := h.Get("/v1/keys", h.Key("here", auth.TanksRead)...)
	apitest.WantProblem(t, "another scope", a, http.StatusForbidden, respond.ScopeMissing)
	if !strings.Contains(a.Header().Get("WWW-Authenticate"), `error="insufficient_scope", scope="manage admin"`) {
		t.Errorf("challenge %q", a.Header().Get("WWW-Authenticate"))
	}
}

func TestKeysAreLimitedByKey(t *testing.T) {
	h := apitest.NewService(t, func(c *api.Config) {
		c.RateLimit, c.KeyRateLimit = middleware.RateLimit{Quota: 3}, middleware.RateLimit{Quota: 5}
	})
	key := h.Key("here", auth.Manage)
	if a := h.Get("/v1/keys", key...); a.Header().Get("RateLimit-Policy") != `"default";q=3;w=60` {
		t.Errorf("a key that nobody knows yet counts for its address: %v", a.Header())
	}
	for range 5 {
		if a := h.Get("/v1/keys", key...); a.Code != http.StatusOK || a.Header().Get("RateLimit-Policy") != `"default";q=5;w=60` {
			t.Errorf("%d %v", a.Code, a.Header())
		}
	}
	a := h.Get("/v1/keys", key...)
	apitest.WantProblem(t, "the sixth", a, http.StatusTooManyRequests, respond.TooManyRequests)
	if !strings.Contains(a.Body.String(), "with this key") || a.Header().Get("Retry-After") != "12" {
		t.Errorf("%v %s", a.Header(), a.Body)
	}
	apitest.WantProblem(t, "a lookup with the key", h.Get(apitest.OscarNeon, key...), http.StatusTooManyRequests, respond.TooManyRequests)
	if a := h.Get(apitest.OscarNeon); a.Code != http.StatusOK {
		t.Errorf("the address: %d", a.Code)
	}
	// Bad keys are the address's affair, so that nobody has keys looked up without end.
	stranger, _, _ := auth.NewText()
	h.Get("/v1/keys", "Authorization", "Bearer "+stranger)
	apitest.WantProblem(t, "guessing", h.Get("/v1/keys", "Authorization", "Bearer "+stranger), http.StatusTooManyRequests, respond.TooManyRequests)
}

func TestALookupWithAKeyIsSoonCountedByKey(t *testing.T) {
	h := apitest.NewService(t, func(c *api.Config) {
		c.RateLimit, c.KeyRateLimit = middleware.RateLimit{Quota: 1 << 20}, middleware.RateLimit{Quota: 1 << 30}
	})
	key := h.Key("here", auth.TanksRead)
	for end := time.Now().Add(time.Minute); ; {
		if a := h.Get(apitest.OscarNeon, key...); strings.Contains(a.Header().Get("RateLimit-Policy"), "1073741824") {
			return
		}
		if time.Now().After(end) {
			t.Fatal("it is still counted by address")
		}
	}
}

func TestTheLogNamesTheKeyAndNeverItsText(t *testing.T) {
	var log strings.Builder
	h := apitest.NewService(t, func(c *api.Config) { c.Logger = slog.New(slog.NewJSONHandler(&log, nil)) })
	key := h.Key("here", auth.Manage)
	h.Get("/v1/keys", key...)
	h.Post("/v1/keys", `{"scopes":["tanks:read"]}`, key...)
	text := strings.TrimPrefix(key[1], "Bearer ")
	if id := strings.Split(text, "_")[1]; strings.Count(log.String(), `"key":"`+id+`"`) != 2 || strings.Contains(log.String(), text) {
		t.Errorf("%s", log.String())
	}
}
