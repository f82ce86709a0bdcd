package store_test

import (
	"strings"
	"testing"

	"commensal/internal/store"

	"github.com/jackc/pgx/v5"
)

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
		{"commensal_service", here.String(), `SELECT DISTINCT organization_id FROM organization_usage`, nil, 1, ""},
		{"commensal_service", here.String(), `UPDATE organization_usage SET used = 0 WHERE organization_id = $1`, []any{there}, 0, ""},
		{"commensal_service", here.String(), `DELETE FROM organization_usage`, nil, 0, "permission denied"},
		{"commensal_service", here.String(), `INSERT INTO organization_quotas (organization_id, kind, most) VALUES ($1, 'tanks', 1)`, []any{here}, 0, "permission denied"},
		{"commensal_service", here.String(), `UPDATE quotas SET usual = 1`, nil, 0, "permission denied"},
		{"commensal_keeper", here.String(), `INSERT INTO organization_quotas (organization_id, kind, most) VALUES ($1, 'tanks', 1)`, []any{there}, 0, "row-level security"},
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
		ofItself := table == "keys" || table == "organization_quotas" || table == "organization_usage"
		if !ofItself && !strings.Contains(strings.Join(store.Stored(), " "), table) {
			t.Errorf("erasing an organization leaves %s behind", table)
		}
	}
}
