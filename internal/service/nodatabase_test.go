package service

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"

	"commensal/api"
	"commensal/db"
	"commensal/internal/auth"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/store"
	"commensal/internal/store/dbtest"
	"commensal/internal/store/driver"
)

func TestLookupsMakeNoDatabaseCalls(t *testing.T) {
	t.Parallel()
	var calls driver.CallCounter
	st, err := store.Open(t.Context(), dbtest.New(t), store.Options{Tracer: &calls, Migrations: db.MigrationsFS()})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	book := bookFromDatabase(t, st)
	tallies, err := st.ReportTallies(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	server, err := api.New(api.Config{
		Book: func() *conflict.Book { return book }, Ping: st.Ping, Store: st, Verifier: auth.NewVerifier(st, nil),
		Reports: func() *evidence.Tallies { return tallies },
	})
	if err != nil {
		t.Fatal(err)
	}
	if calls.Statements() == 0 {
		t.Fatal("loading the catalogue was not counted: the counter does not work")
	}
	statements, connections := calls.Statements(), calls.Connections()
	n := book.Snapshot.Len()
	for k := range 200 {
		a, b := book.Snapshot.At(k%n).ID, book.Snapshot.At((k*7+3)%n).ID
		for _, path := range []string{
			fmt.Sprintf("/v1/pairings/%s/%s?cover=0.%d", a, b, k%10), "/v1/species/" + string(a),
			"/v1/species?q=tetra", "/v1/species/" + string(a) + "/pairings?limit=5", fmt.Sprintf("/v1/pairings/%s/%s/reports", a, b),
		} {
			w := httptest.NewRecorder()
			server.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
			if w.Code != http.StatusOK && w.Code != http.StatusTooManyRequests {
				t.Fatalf("%s: %d %s", path, w.Code, w.Body)
			}
		}
	}
	if s, c := calls.Statements(), calls.Connections(); s != statements || c != connections {
		t.Errorf("lookups made %d statements on %d connections", s-statements, c-connections)
	}
}

// bookFromDatabase loads the built-in catalogue into the database and reads it back.
func bookFromDatabase(t *testing.T, st *store.Store) *conflict.Book {
	t.Helper()
	built, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	revision, _, err := st.LoadCatalogue(t.Context(), built, "test")
	if err != nil {
		t.Fatal(err)
	}
	read, err := st.Catalogue(t.Context(), revision)
	if err != nil {
		t.Fatal(err)
	}
	book, err := MakeBook(revision, read)
	if err != nil {
		t.Fatal(err)
	}
	return book
}
