package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"path/filepath"
	"strings"

	"commensal/api/gen"
	"commensal/api/validate"
	"commensal/internal/localcli"
	"commensal/internal/terminal"

	"github.com/spf13/cobra"
)

// maxBatchFile is the most bytes of a file of lists that is read.
const maxBatchFile = 64 << 20

// listsAtOnce is how many lists the API's handler is asked about at once: as many as a batch may have.
const listsAtOnce = 1000

func (p *Program) batchCommand() *cobra.Command {
	var brief bool
	var units text
	cmd := &cobra.Command{
		Use:   "batch FILE|-",
		Short: "Judge many lists, one on each line",
		Long: "batch reads JSON Lines, a list as POST /v1/checks takes it on each line, and prints JSON Lines as\n" +
			"POST /v1/checks/batch answers them: the number of the line, and its answer or its problem. What is\n" +
			"wrong with a line is told on standard error too, and the exit status is then 2; the other lines go\n" +
			"on. There may be any number of lines. On a terminal it says how far it has come.",
		Example: "  commensal batch lists.jsonl > answers.jsonl\n  commensal batch --brief - < lists.jsonl",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			query := url.Values{}
			if brief {
				query.Set("detail", string(gen.Brief))
			}
			if units.value != "" {
				query.Set("units", units.value)
			}
			return p.batch(args[0], query)
		},
	}
	cmd.Flags().BoolVar(&brief, "brief", false, "answer in brief, where a line does not say how much it wants")
	units.kind = "si|us"
	cmd.Flags().Var(&units, "units", "us adds US values in brackets")
	return cmd
}

// batch puts the lists of a file to the API's own handler, so that the answers are the API's.
func (p *Program) batch(name string, query url.Values) error {
	text, err := readUpTo(p, name, maxBatchFile)
	switch {
	case err != nil:
		return &usageError{fmt.Errorf("the lists cannot be read: %w", err)}
	case len(text) > maxBatchFile:
		return usagef("%s is over %d MiB: split it", name, maxBatchFile>>20)
	case len(bytes.TrimSpace(text)) == 0:
		return usagef("%s has no line", shownName(name))
	}
	o, err := openOffline()
	if err != nil {
		return err
	}
	lines := bytes.SplitAfter(bytes.TrimRight(text, "\n"), []byte("\n"))
	b := &batchRun{p: p, name: name, out: bufio.NewWriter(p.Stdout), shown: terminal.Count(p.Stderr, p.Getenv, "lines", len(lines))}
	defer b.shown.End()
	for b.before < len(lines) {
		some := lines[b.before:min(b.before+listsAtOnce, len(lines))]
		if len(bytes.TrimSpace(bytes.Join(some, nil))) > 0 {
			if err := b.ask(o, query, bytes.Join(some, nil)); err != nil {
				return err
			}
		}
		b.before += len(some)
	}
	if err := b.out.Flush(); err != nil {
		return err
	}
	if b.wrong {
		return &silentError{exitUsage}
	}
	return nil
}

// batchRun is a file of lists that is gone through.
type batchRun struct {
	p      *Program
	name   string
	out    *bufio.Writer
	shown  *terminal.Progress
	before int // lines that were asked about before
	wrong  bool
	told   bytes.Buffer // an answer as far as it has come
}

// ask puts some lines to the handler; each answer is printed when it comes.
func (b *batchRun) ask(o *offline, query url.Values, lines []byte) error {
	problem, err := localcli.Ask(o.server.Handler(), "/v1/checks/batch?"+query.Encode(), validate.LinesMedia, lines, b)
	if err == nil && problem != nil {
		b.p.problems().WriteProblem(b.p.Stderr, problem, nil)
		return &silentError{exitUsage}
	}
	return err
}

// Write takes a part of the answers and prints the lines that are whole.
func (b *batchRun) Write(piece []byte) (int, error) {
	b.told.Write(piece)
	for {
		line, rest, whole := bytes.Cut(b.told.Bytes(), []byte("\n"))
		if !whole {
			return len(piece), nil
		}
		if err := b.print(line); err != nil {
			return 0, err
		}
		b.told.Next(b.told.Len() - len(rest))
	}
}

// print prints the answer to a line under its number in the file.
func (b *batchRun) print(line []byte) error {
	var answer gen.BatchLine
	if err := localcli.Decode(line, &answer); err != nil {
		return err
	}
	answer.Line += b.before
	b.shown.Done(answer.Line)
	if answer.Problem != nil {
		b.wrong = true
		b.shown.Aside(func() { b.tell(&answer) })
	}
	text, err := json.Marshal(answer)
	if err == nil {
		_, err = b.out.Write(append(text, '\n'))
	}
	return err
}

// tell says what is wrong with a line.
func (b *batchRun) tell(answer *gen.BatchLine) {
	at := fmt.Sprintf("%s:%d: ", shownName(b.name), answer.Line)
	if answer.Problem.Errors == nil || len(*answer.Problem.Errors) == 0 {
		fmt.Fprintln(b.p.Stderr, at+answer.Problem.Detail)
		return
	}
	for _, e := range *answer.Problem.Errors {
		text := at + e.Detail
		if !strings.Contains(e.Detail, e.Pointer) {
			text = at + e.Pointer + ": " + e.Detail
		}
		if e.Fix != nil {
			text += " (" + localcli.AtPrompt(*e.Fix) + ")"
		}
		if e.Candidates != nil {
			for i, c := range *e.Candidates {
				text += [2]string{"; near it: ", ", "}[min(i, 1)] + c.Id
			}
		}
		fmt.Fprintln(b.p.Stderr, text)
	}
}

// shownName is a file as messages name it.
func shownName(name string) string {
	if name == "-" {
		return "standard input"
	}
	return filepath.Base(name)
}
