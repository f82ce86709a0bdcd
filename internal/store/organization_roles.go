package store

import (
	"context"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5"
)

// RoleError says why the roles that keep organizations apart cannot be used.
type RoleError struct {
	User    string   // whom the service is connected as
	Missing []string // what is wrong, a sentence each
	Cure    string   // what a superuser runs
}

func (e *RoleError) Error() string {
	return fmt.Sprintf("store: organizations cannot be kept apart: %s. As a superuser, run: %s", strings.Join(e.Missing, "; "), e.Cure)
}

// CheckRoles returns nil when the connection may take on both roles and neither of them
// can go around row-level security, and a [RoleError] otherwise. It writes nothing.
func (s *Store) CheckRoles(ctx context.Context) error {
	e := &RoleError{}
	for _, role := range [...]string{serviceRole, keeperRole} {
		if err := s.checkRole(ctx, role, e); err != nil {
			return explain("check the roles", err)
		}
	}
	if len(e.Missing) > 0 {
		e.Cure = strings.TrimSpace(e.Cure)
		return e
	}
	return nil
}

func (s *Store) checkRole(ctx context.Context, role string, e *RoleError) error {
	var exists, unbound bool
	err := s.pool.QueryRow(ctx, `
		SELECT current_user, count(*) > 0, coalesce(bool_or(rolsuper OR rolbypassrls), false)
		FROM pg_roles WHERE rolname = $1`, role).Scan(&e.User, &exists, &unbound)
	if err != nil {
		return err
	}
	user := pgx.Identifier{e.User}.Sanitize()
	switch {
	case !exists:
		e.add("the role "+role+" does not exist", "CREATE ROLE "+role+" NOLOGIN; GRANT "+role+" TO "+user+";")
		return nil
	case unbound:
		e.add("the role "+role+" can go around row-level security", "ALTER ROLE "+role+" NOSUPERUSER NOBYPASSRLS;")
	}
	may, err := s.mayBecome(ctx, role)
	if err == nil && !may {
		e.add(e.User+" may not take on the role "+role, "GRANT "+role+" TO "+user+";")
	}
	return err
}

func (e *RoleError) add(missing, cure string) {
	e.Missing = append(e.Missing, missing)
	e.Cure += " " + cure
}

const insufficientPrivilege = "42501"

// mayBecome tries: from PostgreSQL 16 on a member may be kept from it.
func (s *Store) mayBecome(ctx context.Context, role string) (bool, error) {
	err := s.inTx(ctx, func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, "SET LOCAL ROLE "+role)
		return err
	})
	if hasCode(err, insufficientPrivilege) {
		return false, nil
	}
	return err == nil, err
}
