package main

import (
	"io"

	"commensal/api/gen"

	"github.com/spf13/cobra"
)

func (p *Program) additionsCommand() *cobra.Command {
	q := &listQuestion{path: "/v1/additions"}
	cmd := &cobra.Command{
		Use:   "additions FILE|-",
		Short: "Rank what could join a list",
		Long: "additions ranks every kind of fish in the catalogue for joining a list. Beside tank and\n" +
			"residents a file may have limit, wanted_level, filters (zone, family, max_length_cm,\n" +
			"temperament, price_class), in_stock (names, or {species: guppy, price_class: low})\n" +
			"and instead_of.\n\n" + listFormat,
		Example: "  commensal additions tank.yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			var a gen.Additions
			if err := p.answer(q, args[0], &a); err != nil {
				return err
			}
			return p.show(q, func(w io.Writer) error { return q.layout().WriteAdditions(w, &a) })
		},
	}
	q.flags(cmd)
	return cmd
}
