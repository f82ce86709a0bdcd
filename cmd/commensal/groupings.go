package main

import (
	"io"

	"commensal/api/gen"

	"github.com/spf13/cobra"
)

func (p *Program) groupingsCommand() *cobra.Command {
	q := &listQuestion{path: "/v1/groupings"}
	cmd := &cobra.Command{
		Use:   "groupings FILE|-",
		Short: "Split a list over tanks",
		Long: "groupings splits a list over as few tanks of standard sizes as will hold it without a hold, or,\n" +
			"where the file has tanks, over those. A shoal is never split. The file has residents and may\n" +
			"have tanks and wanted_level; what each of them says is as for check.\n\n" + groupingsFormat,
		Example: "  commensal groupings list.yaml\n  printf 'neon tetra,12\\noscar,1\\n' | commensal groupings -",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			var g gen.Groupings
			if err := p.answer(q, args[0], &g); err != nil {
				return err
			}
			return p.show(q, func(w io.Writer) error { return q.layout().WriteGroupings(w, &g) })
		},
	}
	q.flags(cmd)
	return cmd
}

// groupingsFormat is the help on what a file for groupings has.
const groupingsFormat = `  residents:
    - {species: neon tetra, count: 12}
    - {species: oscar, count: 1}
  tanks:                     # leave out for as many tanks as it takes
    - {size: 60x30x36cm, temperature_c: 25}
    - {size: 150x60x60cm}`
