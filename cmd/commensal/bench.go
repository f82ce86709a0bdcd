package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"

	"commensal/internal/bench"
	"commensal/internal/service"
	"commensal/internal/terminal"

	"github.com/spf13/cobra"
)

// benchOptions say how long and how hard to ask, and where the figures go.
type benchOptions struct {
	bench.Options
	asJSON bool
	into   string
}

func (p *Program) benchCommand() *cobra.Command {
	o := &benchOptions{}
	cmd := &cobra.Command{
		Use:   "bench",
		Short: "Measure this machine: how many answers a second, and how fast",
		Long: "bench starts the service with a private PostgreSQL of its own in a temporary folder, asks it as fast as it\n" +
			"answers, in turns with a bare echo server that returns the same bytes, and gives the ratio of the two; what is\n" +
			"stored is compared with the bare statements. Then it asks at 80 % of the pace found, at even distances, and gives\n" +
			"the times within which half and 99 of 100 answers came, counted from when each was due. On Linux the servers are\n" +
			"on one processor and the client on another, so that the client costs them nothing.",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.bench(cmd.Context(), o) },
	}
	flags := cmd.Flags()
	flags.Float64Var(&o.Seconds, "seconds", 2, "how long to ask each question, 0.1 to 60 seconds, in each of three ways")
	flags.IntVar(&o.Connections, "connections", 16, "connections kept open, 1 to 256")
	flags.StringVar(&o.Client, "client", bench.OwnClient, "who asks: own, wrk (where it is installed), or auto, which is wrk where it is installed")
	flags.BoolVar(&o.Compare, "compare", false, "ask through both clients, and give both ratios")
	flags.StringVar(&o.Only, "only", "", "ask only the questions with this in their name")
	flags.BoolVar(&o.asJSON, "json", false, "print the figures as JSON")
	flags.StringVar(&o.into, "into", "", "put the table into this file too, between its marks")
	cmd.AddCommand(benchSide("bare", "Answer with ready bytes: the bare side of a bench", p, bench.ServeBare),
		benchSide("bare-writes", "Store with bare statements: the bare side of a bench", p, bench.WriteBare))
	return cmd
}

// benchSide is a command that a bench starts.
func benchSide(use, short string, p *Program, run func(context.Context, io.Reader, io.Writer) error) *cobra.Command {
	return &cobra.Command{Use: use, Short: short, Hidden: true, Args: cobra.NoArgs, RunE: func(cmd *cobra.Command, _ []string) error {
		service.CollectSeldom(p.Getenv) // as the service itself does
		return run(cmd.Context(), p.stdin(), p.Stdout)
	}}
}

func (o *benchOptions) check() error {
	switch {
	case !(o.Seconds >= 0.1 && o.Seconds <= 60):
		return usagef("--seconds cannot be %v: write 0.1 to 60", o.Seconds)
	case o.Connections < 1 || o.Connections > 256:
		return usagef("--connections cannot be %d: write 1 to 256", o.Connections)
	case o.Client != bench.OwnClient && o.Client != bench.WrkClient && o.Client != bench.AutoClient:
		return usagef("--client cannot be %q: write own, wrk or auto", o.Client)
	case len(bench.Questions(o.Only)) == 0:
		return usagef("--only cannot be %q: no question has that in its name; the questions are: %s", o.Only, strings.Join(bench.Questions(""), "; "))
	}
	return nil
}

func (p *Program) bench(ctx context.Context, o *benchOptions) (err error) {
	if err := o.check(); err != nil {
		return err
	}
	if o.Options.Program, err = os.Executable(); err != nil {
		return err
	}
	o.Progress = p.progress()
	r, err := bench.Run(ctx, o.Options)
	if err != nil {
		return err
	}
	if o.into != "" {
		if err := r.WriteInto(o.into); err != nil {
			return err
		}
	}
	if o.asJSON {
		return json.NewEncoder(p.Stdout).Encode(r)
	}
	return r.Write(p.Stdout)
}

// progress tells on a terminal what is being asked, and says nothing elsewhere.
func (p *Program) progress() func(done, all int, question string) {
	if !terminal.Watched(p.Stderr, p.Getenv) {
		return nil
	}
	return func(done, all int, question string) {
		fmt.Fprintf(p.Stderr, "\r\x1b[K%d of %d: %s", done+1, all, question)
		if done+1 == all {
			fmt.Fprint(p.Stderr, ", the last\n")
		}
	}
}
