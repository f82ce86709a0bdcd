package main

import (
	"io"
	"net/http"
	"net/url"
	"os"

	"commensal/api/gen"
	"commensal/internal/stocking"

	"github.com/spf13/cobra"
)

// checkStatus are the exit statuses of check: its decision.
var checkStatus = map[gen.Decision]int{
	gen.Proceed: stocking.Proceed.ExitStatus(), gen.Advise: stocking.Advise.ExitStatus(), gen.Hold: stocking.Hold.ExitStatus(),
}

// listFormat is the help on list files.
const listFormat = `FILE is YAML or JSON with the fields of the API, or a basket in CSV; - reads standard
input. The ending of the name tells the format, else the content does.

  tank:                      # leave out what you do not know
    size: 120x50x50cm
    temperature_c: 25        # or 77F
    lid: yes
  residents:
    - {species: neon tetra, count: 12}
    - {species: betta, count: 1, sex: male, length_cm: 2in}
  incoming:
    - {species: Corydoras paleatus, count: 6}

A basket has species,count on each line; without a count the customary group is taken.`

// listQuestion is a command that asks about a list in a file.
type listQuestion struct {
	path   string
	asJSON bool
	units  text
	file   *listFile
	answer []byte
}

func (q *listQuestion) flags(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&q.asJSON, "json", false, "print what the API answers to the same list")
	q.units.kind = "si|us"
	cmd.Flags().Var(&q.units, "units", "us adds US values in brackets")
}

// stdin is standard input, or what a test gives in its place.
func (p *Program) stdin() io.Reader {
	if p.Stdin != nil {
		return p.Stdin
	}
	return os.Stdin
}

// put reads the file and asks the API's own handler, so that the answer is the API's. What is
// wrong with the list is told by line.
func (p *Program) put(q *listQuestion, name string) error {
	file, err := readListFile(name, p.stdin())
	if err != nil {
		return err
	}
	o, err := openOffline()
	if err != nil {
		return err
	}
	path := q.path
	if q.units.value != "" {
		path += "?units=" + url.QueryEscape(q.units.value)
	}
	body, problem, err := o.ask(http.MethodPost, path, file.body)
	if err != nil {
		return err
	}
	if problem != nil {
		if q.asJSON {
			p.Stdout.Write(body)
		}
		writeListProblem(p.Stderr, file, problem)
		return &silentError{exitUsage}
	}
	q.file, q.answer = file, body
	return nil
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
	if err := p.put(q, name); err != nil {
		return err
	}
	var c gen.Check
	if err := decode(q.answer, &c); err != nil {
		return err
	}
	err := p.show(q, func(w io.Writer) error { return writeCheck(w, &c, q.units.value == string(gen.Us)) })
	if status := checkStatus[c.Decision]; err == nil && status != exitOK {
		return &silentError{status}
	}
	return err
}

// show prints the answer as the API gave it, or for people.
func (p *Program) show(q *listQuestion, write func(io.Writer) error) error {
	if !q.asJSON {
		return write(p.Stdout)
	}
	_, err := p.Stdout.Write(q.answer)
	return err
}

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
			if err := p.put(q, args[0]); err != nil {
				return err
			}
			var a gen.Additions
			if err := decode(q.answer, &a); err != nil {
				return err
			}
			return p.show(q, func(w io.Writer) error { return writeAdditions(w, &a) })
		},
	}
	q.flags(cmd)
	return cmd
}
