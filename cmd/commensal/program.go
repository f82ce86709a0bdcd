package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"

	"commensal/internal/service"

	"github.com/spf13/cobra"
)

// Exit statuses.
const (
	exitOK      = 0 // done
	exitFailure = 1 // it was asked rightly and failed
	exitUsage   = 2 // it was asked wrongly: flags, arguments, settings, names
)

// Program is the whole program with its surroundings as fields, so that tests run
// the same program as people do.
type Program struct {
	Stdout, Stderr io.Writer
	// Stdin is read where a file is named -; nil is the standard input of the process.
	Stdin io.Reader
	// Getenv reads the environment.
	Getenv func(string) string
	// Name is how the program was called, for lines to be typed; empty is commensal.
	Name string

	running bool // flags and arguments have been accepted
}

// Run carries out one command line, without the program's name, and returns the exit
// status. A service runs until ctx ends.
func (p *Program) Run(ctx context.Context, args []string) int {
	root := p.command()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitOK
	}
	var silent *silentError
	if errors.As(err, &silent) {
		return silent.status
	}
	fmt.Fprintln(p.Stderr, "commensal:", err)
	if p.running && !askedWrongly(err) {
		return exitFailure
	}
	fmt.Fprintln(p.Stderr, "commensal --help says more, as does --help after any command.")
	return exitUsage
}

// name is how the program can be called again, as a shell reads it.
func (p *Program) name() string {
	if p.Name == "" || strings.ContainsFunc(p.Name, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("/._-", r)
	}) {
		return "commensal"
	}
	return p.Name
}

// command is the tree of commands.
func (p *Program) command() *cobra.Command {
	root := &cobra.Command{
		Use:   "commensal",
		Short: "Says whether kinds of fish can live together, and why",
		Long: "commensal says whether kinds of fish can live together in a tank for their whole\n" +
			"lives, and why. Answers are guidance, not a guarantee: individual animals differ.",
		Version:       version(),
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.NoArgs,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		// What goes wrong before this runs is a wrong command line.
		PersistentPreRun: func(*cobra.Command, []string) { p.running = true },
	}
	root.SetOut(p.Stdout)
	root.SetErr(p.Stderr)
	root.SetVersionTemplate("{{.Version}}\n")
	root.AddCommand(p.pairCommand(), p.speciesCommand(), p.careCommand(), p.checkCommand(), p.batchCommand(), p.additionsCommand(), p.groupingsCommand(), p.placementsCommand(), p.benchCommand(), p.serveCommand(), p.readyCommand(), p.migrateCommand(),
		p.stockCommand(), p.catalogueCommand(), p.keyCommand(), p.postgresCommand())
	return root
}

// group is a command that only holds others.
func group(use, short string, commands ...*cobra.Command) *cobra.Command {
	g := &cobra.Command{Use: use, Short: short, Args: cobra.NoArgs, RunE: func(cmd *cobra.Command, _ []string) error {
		return usagef("%s needs a command behind it: see %s --help", cmd.CommandPath(), cmd.CommandPath())
	}}
	g.AddCommand(commands...)
	return g
}

// usageError is a mistake in what was asked, as opposed to a failure in doing it.
type usageError struct{ err error }

func (e *usageError) Error() string { return e.err.Error() }

// Unwrap gives the cause.
func (e *usageError) Unwrap() error { return e.err }

func usagef(format string, args ...any) error {
	return &usageError{fmt.Errorf(format, args...)}
}

// silentError ends the program with a status where all has been said already.
type silentError struct{ status int }

func (e *silentError) Error() string { return fmt.Sprintf("exit status %d", e.status) }

// askedWrongly reports a mistake in flags, arguments or settings.
func askedWrongly(err error) bool {
	var usage *usageError
	var setting *service.SettingError
	return errors.As(err, &usage) || errors.As(err, &setting)
}
