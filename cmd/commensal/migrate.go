package main

import (
	"fmt"
	"io"
	"strconv"

	"commensal/db"
	"commensal/internal/localpg"
	"commensal/internal/service"
	"commensal/internal/store/migration"

	"github.com/spf13/cobra"
)

func (p *Program) migrateCommand() *cobra.Command {
	up := &cobra.Command{Use: "up", Short: "Apply the migrations that are missing", Args: cobra.NoArgs}
	down := &cobra.Command{
		Use: "down [n]", Short: "Take back the last n migrations (default 1) and delete what they held",
		Args: cobra.MaximumNArgs(1),
	}
	status := &cobra.Command{Use: "status", Short: "Say which migrations the database has", Args: cobra.NoArgs}
	admit := up.Flags().String("admit", "", "role of a service that owns nothing: it is given what the service needs")
	p.migrator(up, func(cmd *cobra.Command, m *migration.Migrator, _ []string) error {
		if err := m.Up(cmd.Context()); err != nil || *admit == "" {
			return err
		}
		return m.Admit(cmd.Context(), *admit)
	})
	p.migrator(down, func(cmd *cobra.Command, m *migration.Migrator, args []string) error {
		steps, err := downSteps(args)
		if err != nil {
			return err
		}
		return m.Down(cmd.Context(), steps)
	})
	p.migrator(status, func(*cobra.Command, *migration.Migrator, []string) error { return nil })
	return group("migrate", "Bring the database's tables to a version", up, down, status)
}

func downSteps(args []string) (int, error) {
	if len(args) == 0 {
		return 1, nil
	}
	n, err := strconv.Atoi(args[0])
	if err != nil || n < 1 {
		return 0, usagef("migrate down takes a number of migrations from 1 up, not %q", args[0])
	}
	return n, nil
}

// migrator makes a command of an action on the migrations, after which the state is
// printed.
func (p *Program) migrator(cmd *cobra.Command, action func(*cobra.Command, *migration.Migrator, []string) error) {
	s := &service.Database{}
	addDatabase(s, cmd.Flags())
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if err := p.fromEnvironment(cmd); err != nil {
			return err
		}
		return service.WithDatabase(cmd.Context(), s, func(access localpg.Access) error {
			m := migration.New(access.Owner, db.MigrationsFS())
			if err := action(cmd, m, args); err != nil {
				return err
			}
			state, err := m.Status(cmd.Context())
			if err != nil {
				return err
			}
			return printState(p.Stdout, state)
		})
	}
}

// printState says where the database stands in one line.
func printState(w io.Writer, s migration.Status) error {
	note := "up to date"
	switch {
	case s.Dirty:
		note = "the last one was begun by another tool and not finished"
	case s.Current < s.Latest:
		note = "commensal migrate up applies the rest"
	case s.Current > s.Latest:
		note = "a newer commensal made them"
	}
	_, err := fmt.Fprintf(w, "migration %d of %d: %s\n", s.Current, s.Latest, note)
	return err
}
