package main

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"commensal/internal/auth"
	"commensal/internal/service"
	"commensal/internal/store"

	"commensal/internal/moment"
	"github.com/spf13/cobra"
)

func (p *Program) keyCommand() *cobra.Command {
	return group("key", "Make, list or revoke the keys of organizations", p.keyCreateCommand(), p.keyListCommand(), p.keyRevokeCommand())
}

// newKey is what a key is to be, as it is written at a prompt.
type newKey struct {
	organization, label, expires string
	scopes                       []string
}

func (p *Program) keyCreateCommand() *cobra.Command {
	var k newKey
	cmd := &cobra.Command{
		Use:   "create",
		Short: "Make a key and print its text, once",
		Long: "create makes a key of an organization, and the organization where there is none of that\n" +
			"name. The text of the key goes to standard output; it is shown now and never again.\n" +
			"Scopes: " + scopeNames() + ".",
		Args: cobra.NoArgs,
	}
	cmd.Flags().StringVar(&k.organization, "organization", "", "the organization's name (required)")
	cmd.Flags().StringSliceVar(&k.scopes, "scope", nil, "what the key permits; several with commas or by repeating the flag (required)")
	cmd.Flags().StringVar(&k.expires, "expires", "365d", "90d, a date such as 2030-01-31, or never")
	cmd.Flags().StringVar(&k.label, "label", "", "what the key is for; not a person")
	p.withStore(cmd, func(cmd *cobra.Command, st *store.Store, _ []string) error {
		key, err := k.read(time.Now())
		if err != nil {
			return err
		}
		return p.createKey(cmd.Context(), st, k.organization, key)
	})
	return cmd
}

// maxLabel is the most characters of a name or a label.
const maxLabel = 80

func scopeNames() string {
	names := make([]string, 0, len(auth.AllScopes()))
	for _, s := range auth.AllScopes() {
		names = append(names, string(s))
	}
	return strings.Join(names, ", ")
}

func (k *newKey) read(now time.Time) (key auth.Key, err error) {
	if strings.TrimSpace(k.organization) == "" || len(k.scopes) == 0 {
		return key, usagef("key create needs --organization and --scope; the scopes are %s", scopeNames())
	}
	for flag, text := range map[string]string{"--organization": k.organization, "--label": k.label} {
		if utf8.RuneCountInString(text) > maxLabel || !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl) {
			return key, usagef("%s cannot be %q: it is one line of at most %d characters", flag, text, maxLabel)
		}
	}
	for _, name := range k.scopes {
		if !auth.Scope(name).Known() {
			return key, usagef("--scope cannot be %q: the scopes are %s", name, scopeNames())
		}
		key.Scopes = append(key.Scopes, auth.Scope(name))
	}
	key.Label = k.label
	key.ExpiresAt, err = expiry(k.expires, now)
	return key, err
}

// expiry reads when a key expires; the zero time for never.
func expiry(text string, now time.Time) (time.Time, error) {
	if text == "never" {
		return time.Time{}, nil
	}
	if number, ok := strings.CutSuffix(text, "d"); ok {
		if days, err := strconv.Atoi(number); err == nil && days > 0 && days <= 36500 {
			return now.AddDate(0, 0, days), nil
		}
	}
	if m, err := moment.Parse(text); err == nil && m.At.After(now) {
		return m.At, nil
	}
	return time.Time{}, usagef("--expires cannot be %q: write a number of days as in 90d, a date to come as in 2030-01-31, or never", text)
}

// createKey prints the text alone on standard output, so that a script can take it.
func (p *Program) createKey(ctx context.Context, st *store.Store, name string, k auth.Key) error {
	o, err := st.OrganizationByName(ctx, name)
	if errors.Is(err, store.ErrNotFound) {
		if o, err = st.CreateOrganization(ctx, name); err == nil {
			fmt.Fprintf(p.Stderr, "made the organization %q, %s\n", o.Name, o.ID)
		}
	}
	if err != nil {
		return err
	}
	text, id, hash := auth.NewText()
	k.ID, k.Hash = id, hash
	err = st.Write(ctx, o.ID, func(tx *store.Tx) (err error) {
		k, err = tx.CreateKey(ctx, k)
		return err
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(p.Stderr, "made the key %s of %q; its text follows and is not shown again\n", k.ID, o.Name)
	_, err = fmt.Fprintln(p.Stdout, text)
	return err
}

// withStore makes a command of work on the database.
func (p *Program) withStore(cmd *cobra.Command, work func(*cobra.Command, *store.Store, []string) error) {
	s := &service.Database{}
	addDatabase(s, cmd.Flags())
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if err := p.fromEnvironment(cmd); err != nil {
			return err
		}
		return service.StoreBeside(cmd.Context(), s, func(st *store.Store) error { return work(cmd, st, args) })
	}
}
