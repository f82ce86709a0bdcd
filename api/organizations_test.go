package api

import (
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/api/gen"
	"commensal/internal/auth"
)

func TestAnAdminMakesAnOrganizationAndItsFirstKey(t *testing.T) {
	h := newHouse(t)
	admin := h.key("here", auth.Admin)
	o := body[gen.Organization](t, h.post("/v1/organizations", `{"name":" Reef corner "}`, admin...), http.StatusCreated)
	if o.Name != "Reef corner" {
		t.Errorf("%+v", o)
	}
	wantProblem(t, "the same name again", h.post("/v1/organizations", `{"name":"Reef corner"}`, admin...), http.StatusConflict, alreadyExists)
	wantProblem(t, "a blank name", h.post("/v1/organizations", `{"name":" "}`, admin...), http.StatusUnprocessableEntity, impossibleValue)
	made := body[gen.NewKey](t, h.post("/v1/keys", `{"organization":"`+o.Id+`","scopes":["manage"],"label":"office"}`, admin...), http.StatusCreated)
	if made.Text == nil || made.Key.Organization != o.Id || !strings.Contains(*made.Text, "_"+made.Key.Id+"_") {
		t.Fatalf("%+v", made)
	}
	manager := []string{"Authorization", "Bearer " + *made.Text}
	list := body[gen.KeysPage](t, h.get("/v1/keys", manager...), http.StatusOK)
	if len(list.Keys) != 1 || list.Keys[0].Id != made.Key.Id || list.Keys[0].Label != "office" {
		t.Errorf("%+v", list)
	}
	if strings.Contains(h.get("/v1/keys", manager...).Body.String(), *made.Text) {
		t.Error("the list tells the text")
	}
	if list = body[gen.KeysPage](t, h.get("/v1/keys?organization="+o.Id, admin...), http.StatusOK); len(list.Keys) != 1 {
		t.Errorf("an admin sees %+v", list)
	}
	h.clock.turn(auth.MaxStaleness)
	if a := h.do("DELETE", "/v1/keys/"+made.Key.Id+"?organization="+o.Id, "", admin...); a.Code != http.StatusNoContent {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	wantProblem(t, "the revoked key", h.get("/v1/keys", manager...), http.StatusUnauthorized, keyRefused)
}

func TestAManagerGrantsNothingBeyondTheOrganization(t *testing.T) {
	h := newHouse(t)
	manager := h.key("here", auth.Manage)
	for name, c := range map[string]struct {
		body   string
		status int
		slug   slug
	}{
		"admin":                {`{"scopes":["admin"]}`, http.StatusForbidden, scopeMissing},
		"curate":               {`{"scopes":["curate"]}`, http.StatusForbidden, scopeMissing},
		"another organization": {`{"scopes":["tanks:read"],"organization":"` + h.org["there"].String() + `"}`, http.StatusNotFound, notFound},
		"no organization":      {`{"scopes":["tanks:read"],"organization":"nobody"}`, http.StatusNotFound, notFound},
		"a scope twice":        {`{"scopes":["tanks:read","tanks:read"]}`, http.StatusUnprocessableEntity, impossibleValue},
		"no scope":             {`{"scopes":[]}`, http.StatusUnprocessableEntity, impossibleValue},
		"an invented scope":    {`{"scopes":["everything"]}`, http.StatusBadRequest, malformedBody},
		"a key that is over":   {`{"scopes":["tanks:read"],"expires_at":"2020-01-01T00:00:00Z"}`, http.StatusUnprocessableEntity, impossibleValue},
		"no moment":            {`{"scopes":["tanks:read"],"expires_at":"tomorrow"}`, http.StatusBadRequest, malformedBody},
		"a label of two lines": {`{"scopes":["tanks:read"],"label":"a\nb"}`, http.StatusUnprocessableEntity, impossibleValue},
	} {
		wantProblem(t, name, h.post("/v1/keys", c.body, manager...), c.status, c.slug)
	}
	own := body[gen.NewKey](t, h.post("/v1/keys", `{"scopes":["tanks:read"],"organization":"`+h.org["here"].String()+`"}`, manager...), http.StatusCreated)
	if own.Key.Organization != h.org["here"].String() {
		t.Errorf("%+v", own.Key)
	}
	wantProblem(t, "keys of another", h.get("/v1/keys?organization="+h.org["there"].String(), manager...), http.StatusNotFound, notFound)
}

func TestARepeatedRequestForAKeyDoesNotTellItsText(t *testing.T) {
	h := newHouse(t)
	manager := with(h.key("here", auth.Manage), idempotency("first key"))
	first := h.post("/v1/keys", `{"scopes":["tanks:read"]}`, manager...)
	again := h.post("/v1/keys", `{"scopes":["tanks:read"]}`, manager...)
	a, b := body[gen.NewKey](t, first, http.StatusCreated), body[gen.NewKey](t, again, http.StatusCreated)
	if a.Text == nil || b.Text != nil || a.Key.Id != b.Key.Id {
		t.Errorf("%s\n%s", first.Body, again.Body)
	}
	if first.Header().Get("Idempotent-Replayed") != "" || again.Header().Get("Idempotent-Replayed") != "true" {
		t.Error("the repeat is not marked as one, or the first is")
	}
	wantProblem(t, "another body", h.post("/v1/keys", `{"scopes":["tanks:write"]}`, manager...), http.StatusUnprocessableEntity, idempotencyKeyReused)
}

func TestListsOfOrganizationsAndKeysArePaged(t *testing.T) {
	h := newHouse(t)
	admin := h.key("here", auth.Admin)
	h.key("here", auth.TanksRead)
	first := h.get("/v1/organizations?limit=1", admin...)
	page := body[gen.OrganizationsPage](t, first, http.StatusOK)
	if len(page.Organizations) != 1 || page.Organizations[0].Name != "here" || page.Next == nil || !strings.Contains(first.Header().Get("Link"), `rel="next"`) {
		t.Fatalf("%s %v", first.Body, first.Header())
	}
	link, _, _ := strings.Cut(strings.TrimPrefix(first.Header().Get("Link"), "<"), ">")
	if page = body[gen.OrganizationsPage](t, h.get(link, admin...), http.StatusOK); page.Organizations[0].Name != "there" || page.Next != nil {
		t.Errorf("%+v", page)
	}
	keys := body[gen.KeysPage](t, h.get("/v1/keys?limit=1", admin...), http.StatusOK)
	if len(keys.Keys) != 1 || keys.Next == nil {
		t.Fatalf("%+v", keys)
	}
	rest := body[gen.KeysPage](t, h.get("/v1/keys?limit=1&cursor="+*keys.Next, admin...), http.StatusOK)
	if len(rest.Keys) != 1 || rest.Keys[0].Id <= keys.Keys[0].Id || rest.Next != nil {
		t.Errorf("%+v", rest)
	}
	for name, cursor := range map[string]string{"damaged": "xx", "of another list": *keys.Next} {
		wantProblem(t, name, h.get("/v1/organizations?cursor="+cursor, admin...), http.StatusBadRequest, invalidCursor)
	}
}

func TestKeysAreRefusedInWordsThatHelp(t *testing.T) {
	h := newHouse(t)
	expiring := h.keyWith("here", auth.Key{Scopes: []auth.Scope{auth.Manage}, ExpiresAt: h.clock.Now().Add(time.Hour)})
	if a := h.get("/v1/keys", expiring...); a.Code != http.StatusOK {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	h.clock.turn(time.Hour)
	for _, c := range []struct {
		name      string
		header    []string
		slug      slug
		challenge string
	}{
		{"none", nil, keyMissing, `Bearer realm="commensal"`},
		{"another scheme", []string{"Authorization", "Basic YTpi"}, keyMissing, `Bearer realm="commensal"`},
		{"a slip", []string{"Authorization", "Bearer cmsl_abc"}, keyRefused, `error="invalid_token"`},
		{"expired", expiring, keyRefused, `error_description="expired"`},
	} {
		a := h.get("/v1/keys", c.header...)
		wantProblem(t, c.name, a, http.StatusUnauthorized, c.slug)
		if !strings.Contains(a.Header().Get("WWW-Authenticate"), c.challenge) {
			t.Errorf("%s: challenge %q", c.name, a.Header().Get("WWW-Authenticate"))
		}
	}
	a := h.get("/v1/keys", h.key("here", auth.TanksRead)...)
	wantProblem(t, "another scope", a, http.StatusForbidden, scopeMissing)
	if !strings.Contains(a.Header().Get("WWW-Authenticate"), `error="insufficient_scope", scope="manage admin"`) {
		t.Errorf("challenge %q", a.Header().Get("WWW-Authenticate"))
	}
}

func TestKeysAreLimitedByKey(t *testing.T) {
	h := newHouse(t, func(c *Config) {
		c.RateLimit, c.KeyRateLimit = RateLimit{Quota: 3}, RateLimit{Quota: 5}
	})
	key := h.key("here", auth.Manage)
	if a := h.get("/v1/keys", key...); a.Header().Get("RateLimit-Policy") != `"default";q=3;w=60` {
		t.Errorf("a key that nobody knows yet counts for its address: %v", a.Header())
	}
	for range 5 {
		if a := h.get("/v1/keys", key...); a.Code != http.StatusOK || a.Header().Get("RateLimit-Policy") != `"default";q=5;w=60` {
			t.Errorf("%d %v", a.Code, a.Header())
		}
	}
	a := h.get("/v1/keys", key...)
	wantProblem(t, "the sixth", a, http.StatusTooManyRequests, tooManyRequests)
	if !strings.Contains(a.Body.String(), "with this key") || a.Header().Get("Retry-After") != "12" {
		t.Errorf("%v %s", a.Header(), a.Body)
	}
	wantProblem(t, "a lookup with the key", h.get(oscarNeon, key...), http.StatusTooManyRequests, tooManyRequests)
	if a := h.get(oscarNeon); a.Code != http.StatusOK {
		t.Errorf("the address: %d", a.Code)
	}
	// Bad keys are the address's affair, so that nobody has keys looked up without end.
	stranger, _, _ := auth.NewText()
	h.get("/v1/keys", "Authorization", "Bearer "+stranger)
	wantProblem(t, "guessing", h.get("/v1/keys", "Authorization", "Bearer "+stranger), http.StatusTooManyRequests, tooManyRequests)
}

func TestALookupWithAKeyIsSoonCountedByKey(t *testing.T) {
	h := newHouse(t, func(c *Config) {
		c.RateLimit, c.KeyRateLimit = RateLimit{Quota: 1 << 20}, RateLimit{Quota: 1 << 30}
	})
	key := h.key("here", auth.TanksRead)
	for end := time.Now().Add(time.Minute); ; {
		if a := h.get(oscarNeon, key...); strings.Contains(a.Header().Get("RateLimit-Policy"), "1073741824") {
			return
		}
		if time.Now().After(end) {
			t.Fatal("it is still counted by address")
		}
	}
}

func TestTheLogNamesTheKeyAndNeverItsText(t *testing.T) {
	var log strings.Builder
	h := newHouse(t, func(c *Config) { c.Logger = slog.New(slog.NewJSONHandler(&log, nil)) })
	key := h.key("here", auth.Manage)
	h.get("/v1/keys", key...)
	h.post("/v1/keys", `{"scopes":["tanks:read"]}`, key...)
	text := strings.TrimPrefix(key[1], "Bearer ")
	if id := strings.Split(text, "_")[1]; strings.Count(log.String(), `"key":"`+id+`"`) != 2 || strings.Contains(log.String(), text) {
		t.Errorf("%s", log.String())
	}
}
