package api_test

import (
	"net/http"
	"testing"

	"commensal/api/apitest"
	"commensal/internal/auth"
)

// BenchmarkStoreTank stores a tank with its first residents, without a network on the side of the client.
func BenchmarkStoreTank(b *testing.B) {
	h := apitest.NewServiceOn(b, durable(b))
	key := h.Key("here", auth.TanksWrite)
	b.ReportAllocs()
	for b.Loop() {
		body := `{"label":"Show tank","tank":` + anotherTank() + `,"residents":[` + benchLine + `]}`
		if a := h.Post("/v1/tanks", body, key...); a.Code != http.StatusCreated {
			b.Fatal(a.Body)
		}
	}
}
