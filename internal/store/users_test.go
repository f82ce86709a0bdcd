package store_test

import (
	"net/url"
	"strings"
	"testing"

	"commensal/db"
	"commensal/internal/store/dbtest"
	"commensal/internal/store/migration"
)

// asUser is a connection string for another user.
func asUser(tb testing.TB, dsn, user string) string {
	tb.Helper()
	u, err := url.Parse(dsn)
	if err != nil {
		tb.Fatal(err)
	}
	execute(tb, dsn, `ALTER ROLE `+user+` PASSWORD 'sesame'`)
	u.User = url.UserPassword(user, "sesame")
	return u.String()
}

// ownedBy is a fresh database that belongs to a user, who has migrated it.
func ownedBy(tb testing.TB, dsn, user string) string {
	tb.Helper()
	fresh := dbtest.NewEmpty(tb)
	execute(tb, fresh, `ALTER DATABASE `+databaseOf(tb, fresh)+` OWNER TO `+user)
	execute(tb, fresh, `GRANT ALL ON SCHEMA public TO `+user)
	if err := migration.New(asUser(tb, fresh, user), db.MigrationsFS()).Up(testContext(tb)); err != nil {
		tb.Fatal(err)
	}
	return fresh
}

// migrateAs migrates a fresh database of a user and returns what came of it.
func migrateAs(tb testing.TB, dsn, user string) error {
	tb.Helper()
	fresh := dbtest.NewEmpty(tb)
	execute(tb, fresh, `GRANT ALL ON SCHEMA public TO `+user)
	return migration.New(asUser(tb, fresh, user), db.MigrationsFS()).Up(testContext(tb))
}

func databaseOf(tb testing.TB, dsn string) string {
	tb.Helper()
	u, err := url.Parse(dsn)
	if err != nil {
		tb.Fatal(err)
	}
	return strings.TrimPrefix(u.Path, "/")
}
