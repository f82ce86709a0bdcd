package accounts_test

import (
	"context"
	"fmt"
	"maps"
	"net/http"
	"path"
	"slices"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
	"commensal/internal/auth"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// staying are the tables whose rows of an organization outlive the erasure of what it has stored: they
// are its own. What it has used is counted down to nothing.
var staying = []string{"keys", "organization_usage", "organization_quotas"}

// Whatever table has rows of an organization has none after the erasure, and another's are all there.
func TestErasingLeavesNothingOfAnOrganization(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := storeOneOfEach(t, k, "here", "first")
	theirs := storeOneOfEach(t, k, "there", "second")
	admin := apitest.With(k.Service.Key("there", auth.Admin), []string{"Content-Type", "application/json"})
	for _, id := range k.Organizations {
		if a := k.Do(http.MethodPut, "/v1/organizations/"+id.String()+"/quotas", `{"tanks":9}`, admin...); a.Code != http.StatusOK {
			t.Fatalf("%d %s", a.Code, a.Body)
		}
	}
	before, others := rowsOf(t, k, "here"), rowsOf(t, k, "there")
	for table, n := range before {
		if n == 0 {
			t.Errorf("nothing of the organization is in %s: its erasure shows nothing", table)
		}
	}
	manager := k.Service.Key("here", auth.Manage)
	if a := k.Do(http.MethodDelete, "/v1/organizations/"+k.Organizations["here"].String()+"/data", "", manager...); a.Code != http.StatusNoContent {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	for table, n := range rowsOf(t, k, "here") {
		if stays := slices.Contains(staying, table); n > 0 && !stays || n == 0 && stays {
			t.Errorf("%d rows of it are in %s after the erasure", n, table)
		}
	}
	if after := rowsOf(t, k, "there"); !maps.Equal(after, others) {
		t.Errorf("another's rows are %v, and were %v", after, others)
	}
	apitest.WantProblem(t, "the tank", k.Get(tank, k.Service.Key("here", auth.TanksRead)...), http.StatusNotFound, respond.NotFound)
	if a := k.Get(theirs, k.Service.Key("there", auth.TanksRead)...); a.Code != http.StatusOK {
		t.Errorf("another's tank is gone too: %d", a.Code)
	}
}

// storeOneOfEach stores one of everything that an organization can store, and returns the path of its tank.
func storeOneOfEach(t *testing.T, k *apitest.TankOwner, organization, once string) (tank string) {
	t.Helper()
	key := k.Service.Key(organization, auth.TanksRead, auth.TanksWrite, auth.ChecksWrite, auth.ReportsWrite)
	post := func(at, body string) (location string) {
		t.Helper()
		a := k.Post(at, body, apitest.With(key, apitest.Idempotency(fmt.Sprint(once, at, len(body))))...)
		if a.Code != http.StatusCreated {
			t.Fatalf("%s: %d %s", at, a.Code, a.Body)
		}
		return a.Header().Get("Location")
	}
	tank = post("/v1/tanks", `{"tank":{},"residents":[{"species":"guppy"}]}`)
	post(tank+"/readings", `{"ph":7}`)
	record := post("/v1/checks", apitest.AsRecord(fixture.OscarJoins))
	post(record+"/override", `{"reason":"A second tank waits."}`)
	if a := k.Do(http.MethodPatch, record, `{"outcome":"sold"}`, apitest.With(key, []string{"If-Match", "*", "Content-Type", "application/merge-patch+json"})...); a.Code != http.StatusOK {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	post("/v1/reports", apitest.KilledReport)
	placement := post("/v1/placements", `{"store":true,"incoming":[{"species":"neon tetra","count":6}],"tanks":[{"id":"`+path.Base(post("/v1/tanks", `{"tank":{"size":"120x50x50cm"}}`))+`"}]}`)
	if a := k.Post(placement+"/accept", `{}`, key...); a.Code != http.StatusOK {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	stock := apitest.With(k.Service.Key(organization, "stock:write"), []string{"Content-Type", "application/json"})
	if a := k.Do(http.MethodPut, "/v1/stock", `{"articles":[{"article":"G-1","name":"guppy"}]}`, stock...); a.Code != http.StatusOK {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	screened(t, k, organization, uuid.MustParse(path.Base(tank)))
	return tank
}

// screened stores that a tank was screened and is decided otherwise by now.
func screened(t *testing.T, k *apitest.TankOwner, organization string, tank uuid.UUID) {
	t.Helper()
	made := store.Screening{Tank: tank, TankRevision: 1, Revision: 1, Model: "1", Input: []byte("{}"), Verdict: []byte("{}")}
	change := &store.TankChange{Tank: tank, Revision: 1, Model: "1", Before: []byte("{}"), After: []byte("{}")}
	if err := k.Store.SaveScreening(t.Context(), k.Organizations[organization], made, change, true); err != nil {
		t.Fatal(err)
	}
}

// rowsOf counts the rows of an organization in every table that has such rows.
func rowsOf(t *testing.T, k *apitest.TankOwner, organization string) map[string]int {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), k.DSN)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close(context.Background()) }()
	rows, err := conn.Query(t.Context(), `
		SELECT DISTINCT table_name FROM information_schema.columns JOIN information_schema.tables USING (table_schema, table_name)
		WHERE table_schema = 'public' AND table_type = 'BASE TABLE' AND column_name = 'organization_id'`)
	if err != nil {
		t.Fatal(err)
	}
	tables, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil || len(tables) < 8 {
		t.Fatalf("tables with rows of an organization: %v, %v", tables, err)
	}
	out := map[string]int{}
	for _, table := range tables {
		out[table] = count(t, conn, table, k.Organizations[organization])
	}
	return out
}

func count(t *testing.T, conn *pgx.Conn, table string, organization uuid.UUID) (n int) {
	t.Helper()
	err := conn.QueryRow(t.Context(), `SELECT count(*) FROM `+pgx.Identifier{table}.Sanitize()+` WHERE organization_id = $1`, organization).Scan(&n)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
