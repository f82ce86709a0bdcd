package store_test

import (
	"strings"
	"testing"

	"commensal/db"
	"commensal/internal/evidence"
	"commensal/internal/species"
	"commensal/internal/store"
	"commensal/internal/store/migration"

	"github.com/google/uuid"
)

// A role that was let in does everything that the service does and nothing beside it.
func TestAnAdmittedRoleWorksAndHasNoOtherPower(t *testing.T) {
	t.Parallel()
	_, dsn := open(t, store.Options{})
	execute(t, dsn, `DO $$ BEGIN CREATE ROLE commensal_test_admitted LOGIN NOINHERIT; EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL; END $$`)
	login := asUser(t, dsn, "commensal_test_admitted")
	ctx := testContext(t)
	s := openOn(t, login, store.Options{Migrations: db.MigrationsFS()})
	if err := s.CheckSchema(ctx); err == nil || !strings.Contains(err.Error(), "42501") {
		t.Fatalf("before it was let in: %v", err)
	}
	for range 2 { // the second time changes nothing
		if err := migration.New(dsn, db.MigrationsFS()).Admit(ctx, "commensal_test_admitted"); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.CheckSchema(ctx); err != nil {
		t.Error(err)
	}
	if err := s.CheckRoles(ctx); err != nil {
		t.Error(err)
	}
	load(t, s, species.Catalogue{Species: []*species.Species{{ID: "danio-rerio", ScientificName: "Danio rerio", Basis: species.Memory}}}, "")
	here := organization(t, s, "Reef corner")
	createKey(t, s, here)
	createTank(t, s, here)
	if _, err := override(t, s, here, record(t, s, here, "hold", nil).ID); err != nil {
		t.Error(err)
	}
	file(t, s, here, "danio-rerio", "danio-rerio", 3, evidence.Fine)
	if tallies(t, s).Len() != 1 {
		t.Error("the report is not counted")
	}
	if err := s.Erase(ctx, here); err != nil {
		t.Error(err)
	}
	for _, statement := range []string{
		`SELECT id FROM tanks`, `SELECT id FROM keys`, `UPDATE catalogue_revisions SET note = 'mine'`, `DELETE FROM species`, `TRUNCATE species`,
		`UPDATE schema_migrations SET version = 1`, `CREATE TABLE mine (a int)`, `CREATE ROLE mine`, `COPY (SELECT 1) TO PROGRAM 'true'`, `ALTER TABLE tanks DISABLE ROW LEVEL SECURITY`,
	} {
		err := attempt(t, login, "commensal_test_admitted", here.String(), statement)
		if err == nil || !strings.Contains(err.Error(), "42501") {
			t.Errorf("%s: %v", statement, err)
		}
	}
}

// A password that is changed in turn is that of a second role: it is let in beside the first, and what either stored the
// other one finds.
func TestASecondRoleIsLetInBesideTheFirst(t *testing.T) {
	t.Parallel()
	_, dsn := open(t, store.Options{})
	ctx := testContext(t)
	roles := []string{"commensal_test_first", "commensal_test_second"}
	stores := make([]*store.Store, len(roles))
	for i, role := range roles {
		execute(t, dsn, `DO $$ BEGIN CREATE ROLE `+role+` LOGIN NOINHERIT; EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL; END $$`)
		if err := migration.New(dsn, db.MigrationsFS()).Admit(ctx, role); err != nil {
			t.Fatal(err)
		}
		stores[i] = openOn(t, asUser(t, dsn, role), store.Options{Migrations: db.MigrationsFS()})
	}
	here := organization(t, stores[0], "Reef corner")
	made := []uuid.UUID{createTank(t, stores[0], here), createTank(t, stores[1], here)}
	for i, s := range stores {
		if err := s.CheckRoles(ctx); err != nil {
			t.Errorf("%s: %v", roles[i], err)
		}
		for _, id := range made {
			if _, err := s.Tank(ctx, here, id); err != nil {
				t.Errorf("%s: tank %s: %v", roles[i], id, err)
			}
		}
	}
}
