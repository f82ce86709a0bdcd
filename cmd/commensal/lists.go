package main

import (
	"encoding/json"
	"io"
	"net/url"
	"os"

	"commensal/api/gen"
	"commensal/internal/localcli"
	"commensal/internal/slip"
	"commensal/internal/stocking"

	"github.com/spf13/cobra"
)

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
	brief  bool // the short form is wanted, by a flag or by the file
	units  text
	region string // where the tanks are; empty where the file says it or nobody does
	body   []byte // the answer of the API
}

func (q *listQuestion) flags(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&q.asJSON, "json", false, "print what the API answers to the same list")
	q.units.kind = "si|us"
	cmd.Flags().Var(&q.units, "units", "us adds US values in brackets")
}

// briefFlag lets the command line ask for the short form, as detail does in a file.
func (q *listQuestion) briefFlag(cmd *cobra.Command, has string) {
	cmd.Flags().BoolVar(&q.brief, "brief", false, "answer in brief: "+has)
}

// regionFlag lets the command line say where the tanks are.
func (q *listQuestion) regionFlag(cmd *cobra.Command) {
	cmd.Flags().StringVar(&q.region, "region", "", "where the tanks are, a country or a state: its rules on record are kept to")
}

// within is a list with the region that the command line names, in place of its own.
func within(body []byte, region string) ([]byte, error) {
	var fields map[string]json.RawMessage
	if region == "" || json.Unmarshal(body, &fields) != nil { // what is no object is for the API to refuse
		return body, nil
	}
	name, err := json.Marshal(region)
	if err != nil {
		return nil, err
	}
	fields["region"] = name
	return json.Marshal(fields)
}

// layout is how the answer is laid out for people.
func (q *listQuestion) layout(p *Program) localcli.Layout { return p.layout(q.units.value) }

// stdin is standard input, or what a test gives in its place.
func (p *Program) stdin() io.Reader {
	if p.Stdin != nil {
		return p.Stdin
	}
	return os.Stdin
}

// answer reads the file and asks the API's own handler, so that the answer is the API's. What is
// wrong with the list is told by line. Where the short form is wanted, the answer goes into brief, which is nil
// for what has none.
func (p *Program) answer(q *listQuestion, name string, whole, brief any) error {
	list, err := localcli.ReadList(name, p.stdin())
	if err != nil {
		return &usageError{err}
	}
	o, err := openOffline()
	if err != nil {
		return err
	}
	path := q.path
	if q.units.value != "" {
		path += "?units=" + url.QueryEscape(q.units.value)
	}
	asked, err := within(list.Body(), q.region)
	if err != nil {
		return err
	}
	q.brief = brief != nil && (q.brief || localcli.WantsBrief(asked))
	if q.brief {
		if asked, err = localcli.InBrief(asked); err != nil {
			return err
		}
	}
	body, problem, err := o.list(path, asked)
	if err != nil {
		return err
	}
	if problem != nil {
		if q.asJSON {
			p.Stdout.Write(body)
		}
		p.problems().WriteListProblem(p.Stderr, list, problem)
		return &silentError{exitUsage}
	}
	q.body = body
	if q.brief {
		return localcli.Decode(body, brief)
	}
	return localcli.Decode(body, whole)
}

// show prints the answer as the API gave it, or for people: whole, or as a slip of some columns.
func (p *Program) show(q *listQuestion, whole func(io.Writer) error, brief func(columns int) string) error {
	if q.asJSON {
		_, err := p.Stdout.Write(q.body)
		return err
	}
	if q.brief {
		_, err := io.WriteString(p.Stdout, brief(q.layout(p).Columns))
		return err
	}
	return whole(p.Stdout)
}

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
	q.regionFlag(cmd)
	q.briefFlag(cmd, "the decision, the gravest reasons, what to ask")
	return cmd
}

func (p *Program) check(q *listQuestion, name string) error {
	var c gen.Check
	var b gen.BriefCheck
	if err := p.answer(q, name, &c, &b); err != nil {
		return err
	}
	decision := c.Decision
	if q.brief {
		decision = b.Decision
	}
	err := p.show(q, func(w io.Writer) error { return q.layout(p).WriteCheck(w, &c) }, func(columns int) string { return slip.Check(&b, columns) })
	if status := checkStatus[decision]; err == nil && status != exitOK {
		return &silentError{status}
	}
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
		Example: "  commensal additions tank.yaml\n  commensal additions tank.yaml --region DE",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			var a gen.Additions
			var b gen.BriefAdditions
			if err := p.answer(q, args[0], &a, &b); err != nil {
				return err
			}
			return p.show(q, func(w io.Writer) error { return q.layout(p).WriteAdditions(w, &a) }, func(columns int) string { return slip.Additions(&b, columns) })
		},
	}
	q.flags(cmd)
	q.briefFlag(cmd, "the first that fit, each with one sentence")
	q.regionFlag(cmd)
	return cmd
}

func (p *Program) groupingsCommand() *cobra.Command {
	q := &listQuestion{path: "/v1/groupings"}
	cmd := &cobra.Command{
		Use:   "groupings FILE|-",
		Short: "Split a list over tanks",
		Long: "groupings splits a list over as few tanks of standard sizes as will hold it without a hold, or,\n" +
			"where the file has tanks, over those. A shoal is never split. The file has residents and may\n" +
			"have tanks, wanted_level and region; what each of them says is as for check.\n\n" + groupingsFormat,
		Example: "  commensal groupings list.yaml\n  printf 'neon tetra,12\\noscar,1\\n' | commensal groupings -",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			var g gen.Groupings
			if err := p.answer(q, args[0], &g, nil); err != nil {
				return err
			}
			return p.show(q, func(w io.Writer) error { return q.layout(p).WriteGroupings(w, &g) }, nil)
		},
	}
	q.flags(cmd)
	q.regionFlag(cmd)
	return cmd
}

// groupingsFormat is the help on what a file for groupings has.
const groupingsFormat = `  residents:
    - {species: neon tetra, count: 12}
    - {species: oscar, count: 1}
  tanks:                     # leave out for as many tanks as it takes
    - {size: 60x30x36cm, temperature_c: 25}
    - {size: 150x60x60cm}`

// placementsFormat is the help on what a file for placements has.
const placementsFormat = `  incoming:
    - {species: oscar, count: 1, length_cm: 18}
    - {species: Hoplisoma panda, count: 6}
    - {species: bristlenose, count: 1}
  together: [[1, 2]]         # positions in incoming, from 0, that share a tank
  tanks:
    - label: Harbour Street
      tank: {size: 180x60x60cm, temperature_c: 26}
    - label: Mill Lane
      tank: {size: 100x40x40cm}
      residents:
        - {species: neon tetra, count: 12}
      wishes: {wanted: [Hoplisoma panda], not_wanted: [oscar], at_most: 8}
  region: DE                 # where the tanks are
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
			var b gen.BriefPlacements
			if err := p.answer(q, args[0], &a, &b); err != nil {
				return err
			}
			return p.show(q, func(w io.Writer) error { return q.layout(p).WritePlacements(w, &a) }, func(columns int) string { return slip.Placements(&b, nil, columns) })
		},
	}
	q.flags(cmd)
	q.briefFlag(cmd, "who goes where, and why not")
	q.regionFlag(cmd)
	return cmd
}
