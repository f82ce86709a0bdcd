package main

import (
	"context"
	"errors"
	"io"
	"strconv"
	"time"

	"commensal/internal/species/catalogue/verify"
	"commensal/internal/store"
	"commensal/internal/terminal"
	"github.com/spf13/cobra"
)

func (p *Program) revisionsCommand() *cobra.Command {
	var limit int
	cmd := &cobra.Command{Use: "revisions", Short: "List the revisions of the catalogue, the current one first", Args: cobra.NoArgs}
	cmd.Flags().IntVar(&limit, "limit", 20, "list at most so many")
	p.withStore(cmd, func(cmd *cobra.Command, st *store.Store, _ []string) error {
		if limit < 1 {
			return usagef("--limit is at least 1, not %d", limit)
		}
		list, err := st.Revisions(cmd.Context(), limit)
		if err != nil {
			return err
		}
		return writeRevisions(p.Stdout, p.tableColumns(), list)
	})
	return cmd
}

func writeRevisions(out io.Writer, columns int, list []store.Revision) error {
	table := [][]string{{"REVISION", "MADE", "SPECIES", "KEY", "WHY"}}
	for _, r := range list {
		key := r.KeyID
		if key == "" {
			key = "-"
		}
		table = append(table, []string{strconv.FormatInt(r.Number, 10), r.CreatedAt.UTC().Format(time.RFC3339), strconv.Itoa(r.SpeciesCount), key, r.Note})
	}
	return terminal.WriteTable(out, columns, table)
}

func (p *Program) restoreCommand() *cobra.Command {
	var note string
	cmd := &cobra.Command{
		Use:   "restore REVISION",
		Short: "Go back to the content of an earlier revision, as a new one",
		Args:  cobra.ExactArgs(1),
	}
	cmd.Flags().StringVar(&note, "note", "", "why, for the list of revisions")
	p.withStore(cmd, func(cmd *cobra.Command, st *store.Store, args []string) error {
		number, err := strconv.ParseInt(args[0], 10, 64)
		if err != nil {
			return usagef("%q is not the number of a revision: commensal catalogue revisions shows them", args[0])
		}
		if note == "" {
			note = "back to revision " + args[0]
		}
		return p.restore(cmd.Context(), st, number, note)
	})
	return cmd
}

// restore checks an earlier revision by the rules of today and loads it.
func (p *Program) restore(ctx context.Context, st *store.Store, number int64, note string) error {
	c, err := st.Catalogue(ctx, number)
	if errors.Is(err, store.ErrNotFound) {
		return usagef("there is no revision %d: commensal catalogue revisions shows them", number)
	}
	if err == nil {
		err = p.refuseErrors(verify.Catalogue(c))
	}
	if err != nil {
		return err
	}
	return writeRevision(ctx, p.Stdout, st, c, note)
}
