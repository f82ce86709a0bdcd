package main

import (
	"io"

	"commensal/api/gen"

	"github.com/spf13/cobra"
)

// placementsFormat is the help on what a file for placements has.
const placementsFormat = `  incoming:
    - {species: oscar, count: 1, length_cm: 18}
    - {species: Hoplisoma panda, count: 6}
    - {species: bristlenose, count: 1}
  together: [[1, 2]]         # positions in incoming, from 0, that share a tank
  tanks:
    - external_ref: harbour street
      tank: {size: 180x60x60cm, temperature_c: 26}
    - external_ref: mill lane
      tank: {size: 100x40x40cm}
      residents:
        - {species: neon tetra, count: 12}
  one_each: no               # yes: at most one line to a tank
  by_tank: no                # yes: tell also what each tank could take`

func (p *Program) placementsCommand() *cobra.Command {
	q := &listQuestion{path: "/v1/placements"}
	cmd := &cobra.Command{
		Use:   "placements FILE|-",
		Short: "Place fish that need a home in tanks",
		Long: "placements says who goes where: as many as can be, with the least harm, and why not elsewhere.\n" +
			"What joins a tank must leave it without a hold. The file is YAML or JSON with the fields of the API:\n\n" + placementsFormat,
		Example: "  commensal placements homes.yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			var a gen.Placements
			if err := p.answer(q, args[0], &a); err != nil {
				return err
			}
			return p.show(q, func(w io.Writer) error { return q.layout().WritePlacements(w, &a) })
		},
	}
	q.flags(cmd)
	return cmd
}
