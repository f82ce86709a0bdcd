package main

import (
	"context"
	"encoding/json"
	"runtime"

	"commensal/internal/bench"
	"commensal/internal/service"

	"github.com/spf13/cobra"
)

// benchOptions say how long and how hard to ask.
type benchOptions struct {
	seconds     float64
	connections int
	asJSON      bool
}

func (p *Program) benchCommand() *cobra.Command {
	o := &benchOptions{}
	cmd := &cobra.Command{
		Use:   "bench",
		Short: "Measure this machine: how many answers a second, and how fast",
		Long: "bench starts the service on loopback without a database, asks it as fast as it answers, round by round with\n" +
			"a bare echo server that returns as many bytes, and gives the ratio of the two. Then it asks at 80 % of the\n" +
			"pace found, at even distances, and gives the times within which half and 99 of 100 answers came, counted from\n" +
			"when each was due. Client and servers share the processors of this machine.",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.bench(cmd.Context(), o) },
	}
	cmd.Flags().Float64Var(&o.seconds, "seconds", 2, "how long to ask each question, 0.1 to 60 seconds, in each of three ways")
	cmd.Flags().IntVar(&o.connections, "connections", 4*runtime.GOMAXPROCS(0), "connections kept open, 1 to 256")
	cmd.Flags().BoolVar(&o.asJSON, "json", false, "print the figures as JSON")
	return cmd
}

func (o *benchOptions) check() error {
	switch {
	case !(o.seconds >= 0.1 && o.seconds <= 60):
		return usagef("--seconds cannot be %v: write 0.1 to 60", o.seconds)
	case o.connections < 1 || o.connections > 256:
		return usagef("--connections cannot be %d: write 1 to 256", o.connections)
	}
	return nil
}

func (p *Program) bench(ctx context.Context, o *benchOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	service.CollectSeldom(p.Getenv)
	book, err := builtInBook()
	if err != nil {
		return err
	}
	options := bench.Options{Seconds: o.seconds, Connections: o.connections, Version: programVersion()}
	all, err := bench.Run(ctx, book, options)
	if err != nil {
		return err
	}
	if o.asJSON {
		return json.NewEncoder(p.Stdout).Encode(all)
	}
	return bench.Write(p.Stdout, all, options)
}
