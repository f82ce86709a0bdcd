package main

import (
	"commensal/api/gen"
	"commensal/internal/localcli"

	"github.com/spf13/cobra"
)

func (p *Program) speciesCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "species NAME",
		Short: "Show what the catalogue knows about a kind of fish, and what each value rests on",
		Long: "species shows the entry of the catalogue in this program: every value with its range and\n" +
			"its basis, and the published sources that agree with it. NAME is as people type it; a name\n" +
			"of several words goes in quotes.",
		Example: "  commensal species 'neon tetra'",
		Args:    cobra.ExactArgs(1),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return completeName(cmd, args, typed)
		},
		RunE: func(_ *cobra.Command, args []string) error { return p.species(args[0], asJSON) },
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print what the API answers to the same question")
	return cmd
}

// species asks the API's own handler, so that the answer is the API's.
func (p *Program) species(name string, asJSON bool) error {
	o, err := openOffline()
	if err != nil {
		return err
	}
	body, problem, err := o.species(name)
	switch {
	case err != nil:
		return err
	case problem != nil:
		if asJSON {
			p.Stdout.Write(body)
		}
		localcli.WriteProblem(p.Stderr, problem, nil)
		return &silentError{exitUsage}
	case asJSON:
		_, err := p.Stdout.Write(body)
		return err
	}
	var answer gen.Species
	if err := localcli.Decode(body, &answer); err != nil {
		return err
	}
	return layout("").WriteSpecies(p.Stdout, &answer)
}
