// Package apitest is what tests of the API share: servers with and without a database, clients with keys, and the
// witness that holds every answer against the contract.
package apitest

import (
	"testing"

	"commensal/api"
	"commensal/internal/conflict"
)

// ServerOf makes a server on a book with the given changes to its settings.
func ServerOf(t testing.TB, book *conflict.Book, change ...func(*api.Config)) *api.Server {
	t.Helper()
	cfg := api.Config{Book: func() *conflict.Book { return book }, Version: "test"}
	for _, c := range change {
		c(&cfg)
	}
	s, err := api.New(cfg)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
