package main

import (
	"fmt"

	"commensal/internal/localpg"

	"github.com/spf13/cobra"
)

// postgresCommand answers without starting anything whether the private server could
// run here. The scripts that install PostgreSQL where it is missing ask it.
func (p *Program) postgresCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "postgres",
		Short: "Say which PostgreSQL the private server would run",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			found, err := localpg.FindBinaries(cmd.Context())
			if err != nil {
				return err
			}
			for _, b := range found {
				fmt.Fprintf(p.Stdout, "PostgreSQL %s in %s\n", b.Major, b.Dir)
			}
			return nil
		},
	}
}
