package store_test

import (
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"commensal/internal/auth"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// organization makes an organization on a store.
func organization(tb testing.TB, s *store.Store, name string) uuid.UUID {
	tb.Helper()
	o, err := s.CreateOrganization(testContext(tb), name)
	if err != nil {
		tb.Fatal(err)
	}
	return o.ID
}

// write runs do for an organization, which must succeed.
func write(tb testing.TB, s *store.Store, of uuid.UUID, do func(*store.Tx) error) {
	tb.Helper()
	if err := s.Write(testContext(tb), of, do); err != nil {
		tb.Fatal(err)
	}
}

func createKey(tb testing.TB, s *store.Store, of uuid.UUID) auth.Key {
	tb.Helper()
	_, id, hash := auth.NewText()
	var k auth.Key
	write(tb, s, of, func(tx *store.Tx) (err error) {
		k, err = tx.CreateKey(tb.Context(), auth.Key{ID: id, Hash: hash, Label: "till", Scopes: []auth.Scope{auth.TanksRead}})
		return err
	})
	return k
}

// createTank makes a tank with a line of residents and a reading, and returns its id.
func createTank(tb testing.TB, s *store.Store, of uuid.UUID) (id uuid.UUID) {
	tb.Helper()
	ph := 7.0
	write(tb, s, of, func(tx *store.Tx) error {
		line := store.Resident{Species: "danio-rerio", Line: []byte(`{"species":"danio-rerio"}`)}
		k, err := tx.CreateTank(tb.Context(), store.Tank{Description: []byte("{}")}, []store.Resident{line})
		if err != nil {
			return err
		}
		id = k.ID
		_, err = tx.AddReading(tb.Context(), k.ID, store.Reading{TakenAt: time.Now(), Values: [4]*float64{1: &ph}})
		return err
	})
	return id
}

func TestKeysAreMadeFoundUsedAndRevoked(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx := testContext(t)
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	k := createKey(t, s, here)
	found, err := s.FindKey(ctx, k.ID)
	if err != nil || found.Organization != here || found.Hash != k.Hash || found.Label != "till" || !found.ExpiresAt.IsZero() ||
		len(found.Scopes) != 1 || found.Scopes[0] != auth.TanksRead {
		t.Fatalf("%+v, %v", found, err)
	}
	if _, err := s.FindKey(ctx, "aaaaaaaaaaaaaaaa"); !errors.Is(err, auth.ErrUnknown) {
		t.Errorf("an unknown key: %v", err)
	}
	used := time.Now().Truncate(time.Microsecond)
	for _, at := range []time.Time{used, used.Add(-time.Hour)} {
		if err := s.TouchKeys(ctx, map[string]time.Time{k.ID: at}); err != nil {
			t.Fatal(err)
		}
	}
	if found, err = s.FindKey(ctx, k.ID); err != nil || !found.LastUsedAt.Equal(used) {
		t.Errorf("last used %v, want %v (%v)", found.LastUsedAt, used, err)
	}
	if err := s.Write(ctx, there, func(tx *store.Tx) error { return tx.RevokeKey(ctx, k.ID) }); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("another organization's key was revoked: %v", err)
	}
	write(t, s, here, func(tx *store.Tx) error { return tx.RevokeKey(ctx, k.ID) })
	if found, err = s.FindKey(ctx, k.ID); err != nil || found.RevokedAt.IsZero() {
		t.Errorf("not revoked: %+v, %v", found, err)
	}
	write(t, s, there, func(tx *store.Tx) error {
		if list, err := tx.Keys(ctx, "", 10); err != nil || len(list) != 0 {
			t.Errorf("another organization sees %v (%v)", list, err)
		}
		return nil
	})
}

func TestNamesOfOrganizationsAreUnique(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx := testContext(t)
	first := organization(t, s, "Reef corner")
	var taken *store.ConstraintError
	if _, err := s.CreateOrganization(ctx, "Reef corner"); !errors.As(err, &taken) || taken.Constraint != store.NameTaken {
		t.Errorf("twice: %v", err)
	}
	second := organization(t, s, "Pond club")
	list, err := s.Organizations(ctx, uuid.Nil, 10)
	if err != nil || len(list) != 2 || list[0].ID != first || list[1].ID != second {
		t.Errorf("%v, %v", list, err)
	}
	if list, err = s.Organizations(ctx, first, 10); err != nil || len(list) != 1 || list[0].ID != second {
		t.Errorf("behind the first: %v, %v", list, err)
	}
}

// The roles are what stands between organizations should a statement forget to: as the
// service nobody sees or changes what is not the organization's, whatever is written.
func TestTheServiceRoleCannotReachOtherOrganizations(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	ctx := testContext(t)
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	mine, theirs := createKey(t, s, here), createKey(t, s, there)
	myTank, theirTank := createTank(t, s, here), createTank(t, s, there)
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	as := func(role, organization, sql string, args ...any) (rows int64, err error) {
		tx, err := conn.Begin(ctx)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = tx.Rollback(ctx) }()
		if _, err := tx.Exec(ctx, "SET LOCAL ROLE "+role+"; SET LOCAL app.organization = '"+organization+"'"); err != nil {
			t.Fatal(err)
		}
		tag, err := tx.Exec(ctx, sql, args...)
		return tag.RowsAffected(), err
	}
	for _, c := range []struct {
		role, organization, sql string
		args                    []any
		rows                    int64
		refused                 string // part of the message
	}{
		{"commensal_service", here.String(), `SELECT * FROM keys`, nil, 1, ""},
		{"commensal_service", here.String(), `SELECT * FROM keys WHERE id = $1`, []any{theirs.ID}, 0, ""},
		{"commensal_service", here.String(), `UPDATE keys SET revoked_at = now()`, nil, 1, ""},
		{"commensal_service", here.String(), `UPDATE keys SET organization_id = $1 WHERE id = $2`, []any{there, mine.ID}, 0, "row-level security"},
		{"commensal_service", here.String(), `INSERT INTO keys (id, organization_id, secret_hash, label, scopes) VALUES ('bbbbbbbbbbbbbbbb', $1, sha256('x'), '', '{admin}')`, []any{there}, 0, "row-level security"},
		{"commensal_service", here.String(), `SELECT * FROM organizations`, nil, 1, ""},
		{"commensal_service", here.String(), `INSERT INTO organizations (id, name) VALUES (gen_random_uuid(), 'x')`, nil, 0, "permission denied"},
		{"commensal_service", here.String(), `DELETE FROM keys`, nil, 0, "permission denied"},
		{"commensal_service", "", `SELECT * FROM keys`, nil, 0, ""},
		{"commensal_service", "", `SELECT * FROM organizations`, nil, 0, ""},
		{"commensal_service", here.String(), `ALTER TABLE keys DISABLE ROW LEVEL SECURITY`, nil, 0, "must be owner"},
		{"commensal_service", here.String(), `CREATE POLICY open ON keys USING (true)`, nil, 0, "must be owner"},
		{"commensal_service", here.String(), `SELECT * FROM tanks`, nil, 1, ""},
		{"commensal_service", here.String(), `SELECT * FROM residents WHERE tank_id = $1`, []any{theirTank}, 0, ""},
		{"commensal_service", here.String(), `SELECT * FROM readings r JOIN tanks t ON t.id = r.tank_id OR true`, nil, 1, ""},
		{"commensal_service", here.String(), `UPDATE tanks SET label = 'mine'`, nil, 1, ""},
		{"commensal_service", here.String(), `UPDATE tanks SET organization_id = $1`, []any{there}, 0, "row-level security"},
		{"commensal_service", here.String(), `DELETE FROM tanks WHERE id = $1`, []any{theirTank}, 0, ""},
		{"commensal_service", here.String(), `INSERT INTO residents (organization_id, tank_id, id, species_id, line) VALUES ($1, $2, gen_random_uuid(), 'x', '{}')`,
			[]any{there, theirTank}, 0, "row-level security"},
		{"commensal_service", here.String(), `INSERT INTO residents (organization_id, tank_id, id, species_id, line) VALUES ($1, $2, gen_random_uuid(), 'x', '{}')`,
			[]any{here, theirTank}, 0, "residents_tank_exists"},
		{"commensal_service", here.String(), `INSERT INTO readings (organization_id, tank_id, id, taken_at, ph) VALUES ($1, $2, gen_random_uuid(), now(), 7)`,
			[]any{here, theirTank}, 0, "readings_tank_exists"},
		{"commensal_service", here.String(), `INSERT INTO tanks (organization_id, id, description) VALUES ($1, $2, '{}')`, []any{here, myTank}, 0, "tanks_pkey"},
		{"commensal_service", here.String(), `SELECT * FROM idempotency_records`, nil, 0, ""},
		{"commensal_service", here.String(), `TRUNCATE tanks CASCADE`, nil, 0, "permission denied"},
		{"commensal_keeper", here.String(), `SELECT * FROM tanks`, nil, 0, "permission denied"},
		{"commensal_keeper", here.String(), `SELECT * FROM residents`, nil, 0, "permission denied"},
		{"commensal_keeper", here.String(), `SELECT * FROM readings`, nil, 0, "permission denied"},
		{"commensal_keeper", here.String(), `UPDATE keys SET secret_hash = sha256('x')`, nil, 0, "permission denied"},
		{"commensal_keeper", "", `SELECT * FROM keys`, nil, 2, ""},
	} {
		rows, err := as(c.role, c.organization, c.sql, c.args...)
		if c.refused == "" && (err != nil || rows != c.rows) || c.refused != "" && (err == nil || !strings.Contains(err.Error(), c.refused)) {
			t.Errorf("%s for %q: %s: %d rows, %v; want %d rows, %q", c.role, c.organization, c.sql, rows, err, c.rows, c.refused)
		}
	}
	if _, err := as("commensal_service", here.String(), `SET LOCAL row_security = off; SELECT * FROM keys`); err == nil {
		t.Error("row-level security can be switched off")
	}
}

// Every table with an organization is guarded and is emptied with it: a table that a
// later migration adds cannot be forgotten.
func TestEveryTableOfOrganizationsIsGuarded(t *testing.T) {
	t.Parallel()
	_, dsn := open(t, store.Options{})
	guarded := texts(t, dsn, `
		SELECT c.relname FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid
		WHERE a.attname = 'organization_id' AND c.relkind IN ('r', 'p') AND c.relnamespace = current_schema()::regnamespace
		ORDER BY 1`)
	if len(guarded) < 2 {
		t.Fatalf("only %v", guarded)
	}
	for _, table := range guarded {
		if got := texts(t, dsn, `SELECT (relrowsecurity AND relforcerowsecurity)::text FROM pg_class WHERE oid = '`+table+`'::regclass`); got[0] != "true" {
			t.Errorf("%s has no row-level security, or its owner goes around it", table)
		}
		if got := texts(t, dsn, `SELECT count(*)::text FROM pg_policies WHERE tablename = '`+table+`' AND 'commensal_service' = ANY (roles)
			AND qual LIKE '%organization_id = current_organization()%'`); got[0] != "1" {
			t.Errorf("%s has no policy of its organization", table)
		}
		if table != "keys" && !strings.Contains(strings.Join(store.Stored(), " "), table) {
			t.Errorf("erasing an organization leaves %s behind", table)
		}
	}
}

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
	plain := asUser(t, ownedBy(t, dsn, "commensal_test_plain"), "commensal_test_plain")
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
	// The owner of the tables is held by row-level security as everybody is.
	if rows := texts(t, plain, `SELECT key FROM idempotency_records`); len(rows) != 0 {
		t.Errorf("the owner sees what is stored: %v", rows)
	}
	execute(t, dsn, `DO $$ BEGIN CREATE ROLE commensal_test_nobody LOGIN; EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL; END $$`)
	err = migrateAs(t, dsn, "commensal_test_nobody")
	if err == nil || !strings.Contains(err.Error(), "commensal_test_nobody may not make or join the roles") {
		t.Errorf("a user without the right: %v", err)
	}
}

func TestRequestsAreCarriedOutOnce(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx := testContext(t)
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	once := store.Once{Key: "k1", Operation: "POST /v1/keys", Body: [32]byte{1}}
	answer := store.Answer{Status: 201, Headers: map[string]string{"etag": `"1"`}, Body: []byte(`{"n":1}`)}
	runs := 0
	ask := func(of uuid.UUID, once store.Once) (store.Answer, bool, error) {
		return s.WriteOnce(ctx, of, once, func(*store.Tx) (store.Answer, error) { runs++; return answer, nil })
	}
	for i := range 3 {
		got, replayed, err := ask(here, once)
		if err != nil || replayed != (i > 0) || got.Status != 201 || string(got.Body) != `{"n":1}` || got.Headers["etag"] != `"1"` {
			t.Fatalf("%d: %+v %v %v", i, got, replayed, err)
		}
	}
	for _, other := range []store.Once{{Key: "k1", Operation: "POST /v1/keys", Body: [32]byte{2}}, {Key: "k1", Operation: "POST /v1/tanks", Body: [32]byte{1}}} {
		if _, _, err := ask(here, other); !errors.Is(err, store.ErrKeyReused) {
			t.Errorf("%+v: %v", other, err)
		}
	}
	if _, replayed, err := ask(there, once); err != nil || replayed || runs != 2 {
		t.Errorf("another organization's key: %v %v, %d runs", replayed, err, runs)
	}
	failure := errors.New("no")
	failing := store.Once{Key: "k2", Operation: "POST /v1/keys"}
	if _, _, err := s.WriteOnce(ctx, here, failing, func(*store.Tx) (store.Answer, error) { return answer, failure }); !errors.Is(err, failure) {
		t.Errorf("a failure: %v", err)
	}
	if _, replayed, err := ask(here, failing); err != nil || replayed {
		t.Errorf("after a failure: %v %v", replayed, err)
	}
}

func TestAnExpiredAnswerIsSweptAndItsKeyIsAsGoodAsNew(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	ctx := testContext(t)
	here := organization(t, s, "Reef corner")
	ask := func(key, operation string) bool {
		_, replayed, err := s.WriteOnce(ctx, here, store.Once{Key: key, Operation: operation}, func(*store.Tx) (store.Answer, error) {
			return store.Answer{Status: 201}, nil
		})
		if err != nil {
			t.Fatal(err)
		}
		return replayed
	}
	ask("old", "POST /a")
	ask("older", "POST /a")
	execute(t, dsn, `UPDATE idempotency_records SET expires_at = now()`)
	ask("new", "POST /a")
	if ask("old", "POST /b") {
		t.Error("an expired answer was repeated")
	}
	if swept, err := s.SweepAnswers(ctx, 10); err != nil || swept != 1 {
		t.Errorf("swept %d, %v", swept, err)
	}
	if !ask("new", "POST /a") || !ask("old", "POST /b") {
		t.Error("answers in use were swept")
	}
}

func TestOfTwinsOneRunsAndTheOtherWaits(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx := testContext(t)
	here := organization(t, s, "Reef corner")
	once := store.Once{Key: "twin", Operation: "POST /v1/keys"}
	inside, finish := make(chan struct{}), make(chan struct{})
	var wg sync.WaitGroup
	wg.Go(func() {
		_, replayed, err := s.WriteOnce(ctx, here, once, func(*store.Tx) (store.Answer, error) {
			close(inside)
			<-finish
			return store.Answer{Status: 201, Body: []byte("first")}, nil
		})
		if err != nil || replayed {
			t.Errorf("the first: %v %v", replayed, err)
		}
	})
	<-inside
	// While the first is at work its twin gives up after a second …
	_, _, err := s.WriteOnce(ctx, here, once, func(*store.Tx) (store.Answer, error) { t.Error("it ran twice"); return store.Answer{}, nil })
	if !errors.Is(err, store.ErrBusy) {
		t.Errorf("the impatient twin: %v", err)
	}
	// … and one that comes shortly before its end has its answer.
	wg.Go(func() {
		a, replayed, err := s.WriteOnce(ctx, here, once, func(*store.Tx) (store.Answer, error) { t.Error("it ran twice"); return store.Answer{}, nil })
		if err != nil || !replayed || string(a.Body) != "first" {
			t.Errorf("the patient twin: %+v %v %v", a, replayed, err)
		}
	})
	close(finish)
	wg.Wait()
}

func TestErasingAnOrganizationLeavesOthersAlone(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	ctx := testContext(t)
	for _, name := range []string{"Reef corner", "Pond club"} {
		_, _, err := s.WriteOnce(ctx, organization(t, s, name), store.Once{Key: "k", Operation: name}, func(*store.Tx) (store.Answer, error) {
			return store.Answer{Status: 201}, nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	o, err := s.OrganizationByName(ctx, "Reef corner")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Erase(ctx, o.ID); err != nil {
		t.Fatal(err)
	}
	if left := texts(t, dsn, `SELECT operation FROM idempotency_records`); len(left) != 1 || left[0] != "Pond club" {
		t.Errorf("left: %v", left)
	}
	if err := s.Erase(ctx, uuid.New()); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("nobody: %v", err)
	}
}
