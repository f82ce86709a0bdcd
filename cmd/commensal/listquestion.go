package main

import (
	"io"
	"net/url"
	"os"

	"commensal/internal/localcli"

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
	units  text
	body   []byte // the answer of the API
}

func (q *listQuestion) flags(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&q.asJSON, "json", false, "print what the API answers to the same list")
	q.units.kind = "si|us"
	cmd.Flags().Var(&q.units, "units", "us adds US values in brackets")
}

// layout is how the answer is laid out for people.
func (q *listQuestion) layout() localcli.Layout { return layout(q.units.value) }

// stdin is standard input, or what a test gives in its place.
func (p *Program) stdin() io.Reader {
	if p.Stdin != nil {
		return p.Stdin
	}
	return os.Stdin
}

// answer reads the file and asks the API's own handler, so that the answer is the API's. What is
// wrong with the list is told by line.
func (p *Program) answer(q *listQuestion, name string, into any) error {
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
	body, problem, err := o.list(path, list.Body())
	if err != nil {
		return err
	}
	if problem != nil {
		if q.asJSON {
			p.Stdout.Write(body)
		}
		localcli.WriteListProblem(p.Stderr, list, problem)
		return &silentError{exitUsage}
	}
	q.body = body
	return localcli.Decode(body, into)
}

// show prints the answer as the API gave it, or for people.
func (p *Program) show(q *listQuestion, write func(io.Writer) error) error {
	if !q.asJSON {
		return write(p.Stdout)
	}
	_, err := p.Stdout.Write(q.body)
	return err
}
