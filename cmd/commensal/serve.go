package main

import (
	"errors"
	"fmt"
	"net/url"
	"time"

	"commensal/internal/conflict"

	"github.com/spf13/cobra"
)

func (p *Program) serveCommand() *cobra.Command {
	s := &settings{}
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Answer lookups over HTTP",
		Long: "serve answers lookups over HTTP. With nothing set it starts a private PostgreSQL in the\n" +
			"user's data folder and serves on loopback. Every setting is a flag and an environment\n" +
			"variable; the flag wins. Ctrl-C or SIGTERM ends it cleanly.",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.serve(cmd, s) },
	}
	s.addDatabase(cmd.Flags())
	s.addService(cmd.Flags())
	cmd.Flags().BoolVar(&s.migrate, "migrate", false,
		"with DATABASE_URL: apply missing migrations, and keep the built-in catalogue current unless another was loaded")
	return cmd
}

func (p *Program) serve(cmd *cobra.Command, s *settings) error {
	if err := errors.Join(p.fromEnvironment(cmd), s.check()); err != nil {
		return err
	}
	begin := time.Now()
	log := newLog(p.Stderr, s.logLevel)
	p.collectSeldom()
	p.boundMemory(log)
	svc, err := startService(cmd.Context(), s, log)
	if err != nil {
		return err
	}
	log.Info("ready", "addr", svc.public.Addr().String(), "metrics", svc.metricsAddress(),
		"took", time.Since(begin), "postgres_took", svc.postgresTime)
	giveBack()
	p.announce(svc.scheme()+"://"+reachable(svc.public), svc.live.current())
	err = svc.wait(cmd.Context())
	log.Info("stopping")
	if err == nil {
		svc.drain()
	}
	return errors.Join(err, svc.close())
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
