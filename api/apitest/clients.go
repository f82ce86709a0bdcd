package apitest

import (
	"net/http"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/gen"
	"commensal/internal/auth"
	"commensal/internal/store"
)

// TankOwner is a house with a key for tanks.
type TankOwner struct {
	*Service
	Key []string
}

func NewTankOwner(t testing.TB, change ...func(*api.Config)) *TankOwner {
	t.Helper()
	h := NewService(t, change...)
	return &TankOwner{h, h.Key("here", auth.TanksRead, auth.TanksWrite)}
}

// Tank stores a tank and returns its path.
func (k *TankOwner) Tank(body string) (path string) {
	k.T.Helper()
	a := k.Post("/v1/tanks", body, k.Key...)
	if a.Code != http.StatusCreated {
		k.T.Fatalf("%d %s", a.Code, a.Body)
	}
	return a.Header().Get("Location")
}

// Resident adds a line and returns its path.
func (k *TankOwner) Resident(tank, line string) (path string) {
	k.T.Helper()
	a := k.Post(tank+"/residents", line, k.Key...)
	if a.Code != http.StatusCreated {
		k.T.Fatalf("%d %s", a.Code, a.Body)
	}
	return a.Header().Get("Location")
}

// Change sends a change of a thing under a tag.
func (k *TankOwner) Change(method, path, body, tag string) Answer {
	k.T.Helper()
	headers := k.Key
	if tag != "" {
		headers = With(headers, []string{"If-Match", tag})
	}
	switch method {
	case http.MethodPatch:
		headers = With(headers, []string{"Content-Type", "application/merge-patch+json"})
	case http.MethodPut:
		headers = With(headers, []string{"Content-Type", "application/json"})
	}
	return k.Do(method, path, body, headers...)
}

// Till is a house with keys of a till, which records, and of an office, which reads.
type Till struct {
	*Service
	Till, Office []string
}

func NewTill(t testing.TB, change ...func(*api.Config)) *Till {
	t.Helper()
	h := NewService(t, change...)
	return &Till{h, h.Key("here", auth.ChecksWrite), h.Key("here", auth.ChecksRead)}
}

// Record records a check and returns it.
func (d *Till) Record(list string, headers ...string) gen.CheckRecord {
	d.T.Helper()
	return Body[gen.CheckRecord](d.T, d.Post("/v1/checks", AsRecord(list), With(d.Till, headers)...), http.StatusCreated)
}

// AsRecord is a body that asks for a record.
func AsRecord(body string) string { return `{"record":true,` + strings.TrimPrefix(body, "{") }

// Fill stores n records on hold.
func (h *Service) Fill(organization string, n int) {
	h.T.Helper()
	c := onHold(h.T)
	for n > 0 {
		some := min(n, 500)
		n -= some
		err := h.Store.Write(h.T.Context(), h.Organizations[organization], func(tx *store.Tx) error {
			for range some {
				if _, err := tx.RecordCheck(h.T.Context(), c); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			h.T.Fatal(err)
		}
	}
}
