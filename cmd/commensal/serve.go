package main

import (
	"errors"
	"fmt"
	"net/url"

	"commensal/internal/conflict"
	"commensal/internal/service"

	"github.com/spf13/cobra"
)

func (p *Program) serveCommand() *cobra.Command {
	s := &service.Settings{Version: programVersion(), Log: p.Stderr, Getenv: p.Getenv, Ready: p.announce}
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Answer lookups over HTTP",
		Long: "serve answers lookups over HTTP. With nothing set it starts a private PostgreSQL in the\n" +
			"user's data folder and serves on loopback. Every setting is a flag and an environment\n" +
			"variable; the flag wins. Ctrl-C or SIGTERM ends it cleanly.",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := errors.Join(p.fromEnvironment(cmd), s.Check()); err != nil {
				return err
			}
			return service.Run(cmd.Context(), s)
		},
	}
	addDatabase(&s.Database, cmd.Flags())
	addService(s, cmd.Flags())
	cmd.Flags().BoolVar(&s.Migrate, "migrate", false,
		"with DATABASE_URL: apply missing migrations, and keep the built-in catalogue current unless another was loaded")
	return cmd
}

// announce says in one line what is served where, and then how to ask: this program, which every
// machine has that came so far, and the service, which wants a client.
func (p *Program) announce(base string, book *conflict.Book) {
	if book == nil {
		fmt.Fprintf(p.Stdout, "commensal serves no species yet on %s: commensal catalogue load makes it useful\n", base)
		return
	}
	fmt.Fprintf(p.Stdout, "commensal serves %d species (catalogue revision %d) on %s until Ctrl-C; try, in another terminal:\n",
		book.Snapshot.Len(), book.Snapshot.Revision(), base)
	first, second := examplePair(book)
	fmt.Fprintf(p.Stdout, "%s pair %s %s\n", p.name(), first, second)
	fmt.Fprintf(p.Stdout, "curl -s '%s/v1/pairings/%s/%s'\n", base, url.PathEscape(first), url.PathEscape(second))
}

// examplePair are two names the catalogue knows: well-known ones, else the ids of its
// first and last entry.
func examplePair(book *conflict.Book) (first, second string) {
	s := book.Snapshot
	first, second = "oscar", "neon-tetra"
	for _, name := range []string{first, second} {
		if _, err := s.Resolve(name); err != nil {
			return string(s.At(0).ID), string(s.At(s.Len() - 1).ID)
		}
	}
	return first, second
}
