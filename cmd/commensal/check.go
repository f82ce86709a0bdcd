package main

import (
	"io"

	"commensal/api/gen"
	"commensal/internal/stocking"

	"github.com/spf13/cobra"
)

// checkStatus are the exit statuses of check: its decision.
var checkStatus = map[gen.Decision]int{
	gen.Proceed: stocking.Proceed.ExitStatus(), gen.Advise: stocking.Advise.ExitStatus(), gen.Hold: stocking.Hold.ExitStatus(),
}

func (p *Program) checkCommand() *cobra.Command {
	q := &listQuestion{path: "/v1/checks"}
	cmd := &cobra.Command{
		Use:   "check FILE|-",
		Short: "Judge a whole list, with or without a tank",
		Long: "check judges a list of fish on the catalogue in this program, without a server or a database.\n" +
			"The exit status is the decision: 0 proceed, 3 advise, 4 hold; 2 is a list that cannot be read.\n\n" + listFormat,
		Example: "  commensal check tank.yaml\n  printf 'neon tetra,12\\noscar,1\\n' | commensal check -",
		Args:    cobra.ExactArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return p.check(q, args[0]) },
	}
	q.flags(cmd)
	return cmd
}

func (p *Program) check(q *listQuestion, name string) error {
	var c gen.Check
	if err := p.answer(q, name, &c); err != nil {
		return err
	}
	err := p.show(q, func(w io.Writer) error { return q.layout().WriteCheck(w, &c) })
	if status := checkStatus[c.Decision]; err == nil && status != exitOK {
		return &silentError{status}
	}
	return err
}
