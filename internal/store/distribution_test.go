package store_test

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"commensal/internal/store"
	"commensal/internal/store/dbtest"

	"github.com/jackc/pgx/v5"
)

// distributed is the column by which what organizations own is spread over machines.
const distributed = "organization_id"

// The kinds of tables under an extension that distributes them: spread by a column, whole on every machine, and on the
// machine that is asked alone.
const spread, everywhere, local = "Distributed", "Reference", "Local"

// plan reads from deploy/SCALE.md of which kind each table is.
func plan(t *testing.T) map[string]string {
	t.Helper()
	text, err := os.ReadFile("../../deploy/SCALE.md")
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]string{}
	for _, kind := range []string{spread, everywhere, local} {
		_, after, ok := strings.Cut(string(text), "\n- **"+kind+"**")
		line, _, ended := strings.Cut(after, "\n- ")
		if !ok || !ended {
			t.Fatalf("deploy/SCALE.md has no list of tables that are %s", kind)
		}
		_, names, _ := strings.Cut(line, ": ")
		names, _, _ = strings.Cut(names, ". ")
		for _, name := range regexp.MustCompile("`([a-z_]+)`").FindAllStringSubmatch(names, -1) {
			if of[name[1]] != "" {
				t.Errorf("%s is %s and %s", name[1], of[name[1]], kind)
			}
			of[name[1]] = kind
		}
	}
	return of
}

// table is what the catalogs of the database say of one.
type table struct {
	name    string
	column  *string // type of the column that tables are distributed by, with "not null" where it is; nil without one
	partial bool    // partitioned, or inherited
}

// constraint is a primary key, a unique or exclusion constraint, a unique index or a foreign key.
type constraint struct {
	Table, Name, Kind string   // of pg_constraint, or "i"
	Columns           []string // empty text for an expression
	To                *string  // of a foreign key
	ToColumns         []string
	OnDelete          *string
}

// tablesOf reads both.
func tablesOf(t *testing.T, dsn string) (tables []table, constraints []constraint) {
	t.Helper()
	ctx := testContext(t)
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	rows, err := conn.Query(ctx, `
		SELECT c.relname::text, format_type(a.atttypid, a.atttypmod) || CASE WHEN a.attnotnull THEN ' not null' ELSE '' END, c.relkind = 'p' OR c.relispartition
		FROM pg_class c LEFT JOIN pg_attribute a ON a.attrelid = c.oid AND a.attname = $1 AND NOT a.attisdropped
		WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind IN ('r', 'p') ORDER BY 1`, distributed)
	if err == nil {
		tables, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (x table, err error) {
			err = row.Scan(&x.name, &x.column, &x.partial)
			return x, err
		})
	}
	if err != nil {
		t.Fatal(err)
	}
	const names = `(SELECT array_agg(coalesce(a.attname::text, '') ORDER BY k.n) FROM unnest(%s) WITH ORDINALITY k (num, n)
		LEFT JOIN pg_attribute a ON a.attrelid = %s AND a.attnum = k.num AND k.num > 0)`
	rows, err = conn.Query(ctx, `
		SELECT r.relname::text, c.conname::text, c.contype::text, `+fmt.Sprintf(names, "c.conkey", "c.conrelid")+`,
			(SELECT relname::text FROM pg_class WHERE oid = c.confrelid), `+fmt.Sprintf(names, "c.confkey", "c.confrelid")+`, nullif(c.confdeltype::text, ' ')
		FROM pg_constraint c JOIN pg_class r ON r.oid = c.conrelid
		WHERE c.connamespace = current_schema()::regnamespace AND c.contype IN ('p', 'u', 'x', 'f')
		UNION ALL
		SELECT r.relname::text, i.relname::text, 'i', `+fmt.Sprintf(names, "x.indkey::int2[]", "x.indrelid")+`, NULL, NULL, NULL
		FROM pg_index x JOIN pg_class r ON r.oid = x.indrelid JOIN pg_class i ON i.oid = x.indexrelid
		WHERE r.relnamespace = current_schema()::regnamespace AND x.indisunique
		ORDER BY 1, 2, 3`)
	if err == nil {
		constraints, err = pgx.CollectRows(rows, pgx.RowToStructByPos[constraint])
	}
	if err != nil {
		t.Fatal(err)
	}
	return tables, constraints
}

// violations are what keeps a schema from being distributed as planned, a sentence each.
func violations(plan map[string]string, tables []table, constraints []constraint) (wrong []string) {
	say := func(format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) }
	keyed := map[string]bool{}
	for i := range constraints {
		keyed[constraints[i].Table] = keyed[constraints[i].Table] || constraints[i].Kind == "p"
	}
	known := map[string]bool{}
	for _, x := range tables {
		known[x.name] = true
		switch {
		case plan[x.name] == "":
			say("%s is of no kind", x.name)
		case plan[x.name] == spread && (x.column == nil || *x.column != "uuid not null"):
			say("%s has no %s uuid NOT NULL", x.name, distributed)
		case plan[x.name] == local && x.column != nil:
			say("%s belongs to organizations and stays on one machine", x.name)
		case !keyed[x.name]:
			say("%s has no primary key", x.name)
		case x.partial:
			say("%s is partitioned, for which there is no rule", x.name)
		}
	}
	for name := range plan {
		if !known[name] {
			say("%s is planned and is no table", name)
		}
	}
	for i := range constraints {
		if c := &constraints[i]; c.Kind == "f" {
			c.reference(plan, say)
		} else if plan[c.Table] == spread && !slices.Contains(c.Columns, distributed) {
			say("%s of %s is over (%s), without %s", c.Name, c.Table, strings.Join(c.Columns, ", "), distributed)
		}
	}
	slices.Sort(wrong)
	return wrong
}

// reference judges a foreign key.
func (c *constraint) reference(plan map[string]string, say func(string, ...any)) {
	from, to := plan[c.Table], plan[*c.To]
	at := slices.Index(c.Columns, distributed)
	switch {
	case to == everywhere && from != local:
	case to == local && from == local:
	case from != to:
		say("%s: from %s (%s) to %s (%s)", c.Name, c.Table, from, *c.To, to)
		return
	case from == spread && (at < 0 || c.ToColumns[at] != distributed):
		say("%s: from %s to %s across organizations", c.Name, c.Table, *c.To)
		return
	}
	if c.OnDelete != nil && (*c.OnDelete == "n" || *c.OnDelete == "d") && at >= 0 {
		say("%s takes the organization of rows of %s away", c.Name, c.Table)
	}
}

func TestWhatOrganizationsOwnCanBeDistributed(t *testing.T) {
	t.Parallel()
	tables, constraints := tablesOf(t, dbtest.New(t))
	if len(tables) < 30 || len(constraints) < 60 {
		t.Fatalf("only %d tables and %d constraints are seen", len(tables), len(constraints))
	}
	of := plan(t)
	for _, wrong := range violations(of, tables, constraints) {
		t.Error(wrong)
	}
	for _, name := range store.Stored() {
		if of[name] != spread {
			t.Errorf("%s holds what organizations store and is %q", name, of[name])
		}
	}
}

// Each thing that would be in the way is noticed.
func TestASchemaThatCannotBeDistributedIsNoticed(t *testing.T) {
	t.Parallel()
	for sql, want := range map[string]string{
		`CREATE TABLE notes (id uuid PRIMARY KEY, organization_id uuid NOT NULL)`:                        "notes_pkey of notes is over (id)",
		`CREATE TABLE notes (organization_id uuid, id uuid, UNIQUE (organization_id, id))`:               "notes has no organization_id uuid NOT NULL",
		`CREATE TABLE notes (organization_id text NOT NULL, id uuid, PRIMARY KEY (organization_id, id))`: "notes has no organization_id uuid NOT NULL",
		`CREATE TABLE notes (organization_id uuid NOT NULL, id uuid)`:                                    "notes has no primary key",
		`ALTER TABLE tanks ADD CONSTRAINT notes UNIQUE (id)`:                                             "notes of tanks is over (id)",
		`CREATE UNIQUE INDEX notes ON tanks (label)`:                                                     "notes of tanks is over (label)",
		`CREATE UNIQUE INDEX notes ON tanks (lower(label))`:                                              "notes of tanks is over ()",
		`ALTER TABLE tanks ADD CONSTRAINT notes_once UNIQUE (organization_id, id, revision), ADD COLUMN owner uuid; CREATE TABLE notes (organization_id uuid NOT NULL, id uuid, other uuid, PRIMARY KEY (organization_id, id), FOREIGN KEY (other, id) REFERENCES tanks (organization_id, id))`: "across organizations",
		`ALTER TABLE tanks ADD COLUMN key_id text REFERENCES keys ON DELETE SET NULL; CREATE TABLE notes (organization_id uuid NOT NULL REFERENCES organizations ON DELETE SET NULL, id uuid, PRIMARY KEY (organization_id, id))`:                                                               "takes the organization of rows of notes away",
		`ALTER TABLE tanks ADD COLUMN since bigint REFERENCES catalogue_revisions`:                                 "from tanks (Distributed) to catalogue_revisions (Local)",
		`ALTER TABLE quotas ADD COLUMN of uuid, ADD COLUMN tank uuid, ADD FOREIGN KEY (of, tank) REFERENCES tanks`: "from quotas (Reference) to tanks (Distributed)",
		`ALTER TABLE catalogue_revisions ADD COLUMN organization_id uuid`:                                          "catalogue_revisions belongs to organizations",
		`DROP TABLE tank_changes`: "tank_changes is planned and is no table",
	} {
		dsn := dbtest.New(t)
		of := plan(t)
		if strings.Contains(sql, "TABLE notes") {
			of["notes"] = spread
		}
		execute(t, dsn, sql)
		tables, constraints := tablesOf(t, dsn)
		wrong := strings.Join(violations(of, tables, constraints), "\n")
		if !strings.Contains(wrong, want) {
			t.Errorf("%s: want %q among:\n%s", sql, want, wrong)
		}
	}
	tables, constraints := tablesOf(t, dbtest.New(t))
	if wrong := violations(map[string]string{}, tables, constraints); !slices.Contains(wrong, "tanks is of no kind") {
		t.Errorf("a table that nobody planned passes: %v", wrong)
	}
}
