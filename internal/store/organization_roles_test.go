package store_test

import (
	"errors"
	"strings"
	"testing"

	"commensal/internal/store"
)

func TestTheRolesAreCheckedAndTheCureIsNamed(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	ctx := testContext(t)
	if err := s.CheckRoles(ctx); err != nil {
		t.Fatal(err)
	}
	execute(t, dsn, `DO $$ BEGIN CREATE ROLE commensal_test_stranger LOGIN; EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL; END $$`)
	stranger := openOn(t, asUser(t, dsn, "commensal_test_stranger"), store.Options{})
	err := stranger.CheckRoles(ctx)
	var missing *store.RoleError
	if !errors.As(err, &missing) || len(missing.Missing) != 2 || !strings.Contains(missing.Cure, `GRANT commensal_service TO "commensal_test_stranger"`) {
		t.Errorf("a stranger: %v", err)
	}
}

func TestAMigrationByAUserWhoMayCreateRolesWorksAndByAnotherSaysWhatIsMissing(t *testing.T) {
	t.Parallel()
	_, dsn := open(t, store.Options{})
	execute(t, dsn, `DO $$ BEGIN CREATE ROLE commensal_test_plain LOGIN CREATEROLE NOSUPERUSER; EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL; END $$`)
	execute(t, dsn, `GRANT commensal_service, commensal_keeper TO commensal_test_plain`)
	database := ownedBy(t, dsn, "commensal_test_plain")
	plain := asUser(t, database, "commensal_test_plain")
	s := openOn(t, plain, store.Options{})
	ctx := testContext(t)
	if err := s.CheckRoles(ctx); err != nil {
		t.Fatal(err)
	}
	here := organization(t, s, "Reef corner")
	createKey(t, s, here)
	_, _, err := s.WriteOnce(ctx, here, store.Once{Key: "k"}, func(*store.Tx) (store.Answer, error) { return store.Answer{Status: 201}, nil })
	if err != nil {
		t.Fatal(err)
	}
	// What is final can be added and erased under such an owner, too.
	if _, err := override(t, s, here, record(t, s, here, "hold", nil).ID); err != nil {
		t.Fatal(err)
	}
	if left := texts(t, plain, `SELECT id::text FROM check_records`); len(left) != 0 {
		t.Errorf("the owner sees what is recorded: %v", left)
	}
	// The owner of the tables is held by row-level security as everybody is.
	if rows := texts(t, plain, `SELECT key FROM idempotency_records`); len(rows) != 0 {
		t.Errorf("the owner sees what is stored: %v", rows)
	}
	if err := s.Erase(ctx, here); err != nil {
		t.Errorf("erasing under an owner who is no superuser: %v", err)
	}
	if left := texts(t, database, `SELECT id::text FROM check_records`); len(left) != 0 {
		t.Errorf("left: %v", left)
	}
	execute(t, dsn, `DO $$ BEGIN CREATE ROLE commensal_test_nobody LOGIN; EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL; END $$`)
	err = migrateAs(t, dsn, "commensal_test_nobody")
	if err == nil || !strings.Contains(err.Error(), "commensal_test_nobody may not make or join the roles") {
		t.Errorf("a user without the right: %v", err)
	}
}
