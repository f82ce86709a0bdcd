// Command commensal says whether kinds of fish can live together for their whole
// lives, and why: as a service (serve) and at the prompt (pair, check, additions). This package holds
// flags, environment, wiring and the commands at a prompt; the running service is package service.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // zones, for a machine that has none

	_ "golang.org/x/crypto/x509roots/fallback" // authorities, for a machine that has none
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	// The first signal asks for a clean end; from then on a second one ends at once.
	context.AfterFunc(ctx, stop)
	p := Program{Stdout: os.Stdout, Stderr: os.Stderr, Getenv: os.Getenv, Name: os.Args[0]}
	os.Exit(p.Run(ctx, os.Args[1:]))
}
