package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"commensal/internal/auth"
	"commensal/internal/store"
	"commensal/internal/terminal"

	"github.com/google/uuid"
	"github.com/spf13/cobra"
)

// listAtOnce is how many organizations or keys are read at a time.
const listAtOnce = 200

func (p *Program) keyListCommand() *cobra.Command {
	var name string
	cmd := &cobra.Command{Use: "list", Short: "List keys, revoked and expired ones too", Args: cobra.NoArgs}
	cmd.Flags().StringVar(&name, "organization", "", "only this organization's")
	p.withStore(cmd, func(cmd *cobra.Command, st *store.Store, _ []string) error {
		return listKeys(cmd.Context(), p.Stdout, p.tableColumns(), st, name)
	})
	return cmd
}

func listKeys(ctx context.Context, out io.Writer, columns int, st *store.Store, only string) error {
	table := [][]string{{"KEY", "ORGANIZATION", "SCOPES", "STATE", "LAST USED", "LABEL"}}
	if only != "" {
		o, err := st.OrganizationByName(ctx, only)
		if errors.Is(err, store.ErrNotFound) {
			return usagef("there is no organization %q", only)
		}
		if err == nil {
			table, err = keysOf(ctx, table, st, o)
		}
		return errors.Join(err, terminal.WriteTable(out, columns, table))
	}
	for after := uuid.Nil; ; {
		page, err := st.Organizations(ctx, after, listAtOnce)
		if err != nil {
			return err
		}
		for _, o := range page {
			if table, err = keysOf(ctx, table, st, o); err != nil {
				return err
			}
			after = o.ID
		}
		if len(page) < listAtOnce {
			return terminal.WriteTable(out, columns, table)
		}
	}
}

// keysOf adds the keys of an organization to a table.
func keysOf(ctx context.Context, table [][]string, st *store.Store, o store.Organization) ([][]string, error) {
	for after := ""; ; {
		var page []auth.Key
		err := st.Read(ctx, o.ID, func(tx *store.Tx) (err error) {
			page, err = tx.Keys(ctx, after, listAtOnce)
			return err
		})
		if err != nil {
			return table, err
		}
		for _, k := range page {
			table = append(table, keyLine(o, k, time.Now()))
			after = k.ID
		}
		if len(page) < listAtOnce {
			return table, nil
		}
	}
}

func keyLine(o store.Organization, k auth.Key, now time.Time) []string {
	scopes := make([]string, len(k.Scopes))
	for i, s := range k.Scopes {
		scopes[i] = string(s)
	}
	state, used := "good", "never"
	switch {
	case !k.RevokedAt.IsZero():
		state = "revoked " + k.RevokedAt.UTC().Format(time.DateOnly)
	case !k.ExpiresAt.IsZero() && !k.ExpiresAt.After(now):
		state = "expired " + k.ExpiresAt.UTC().Format(time.DateOnly)
	case !k.ExpiresAt.IsZero():
		state = "good until " + k.ExpiresAt.UTC().Format(time.DateOnly)
	}
	if !k.LastUsedAt.IsZero() {
		used = k.LastUsedAt.UTC().Format(time.RFC3339)
	}
	return []string{k.ID, o.Name, strings.Join(scopes, ","), state, used, k.Label}
}

func (p *Program) keyRevokeCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "revoke KEY",
		Short: "Revoke a key by its id: running services refuse it within 5 seconds",
		Args:  cobra.ExactArgs(1),
	}
	p.withStore(cmd, func(cmd *cobra.Command, st *store.Store, args []string) error {
		ctx, id := cmd.Context(), args[0]
		if whole, _, err := auth.ParseText(id); err == nil {
			id = whole // the text of a key names it too
		}
		k, err := st.FindKey(ctx, id)
		if errors.Is(err, auth.ErrUnknown) {
			return usagef("there is no key %q: commensal key list shows them", id)
		}
		if err != nil {
			return err
		}
		if err := st.Write(ctx, k.Organization, func(tx *store.Tx) error { return tx.RevokeKey(ctx, k.ID) }); err != nil {
			return err
		}
		_, err = fmt.Fprintln(p.Stdout, "revoked", k.ID)
		return err
	})
	return cmd
}
