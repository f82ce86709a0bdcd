package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/stock"
	"commensal/internal/articles"
	"commensal/internal/species"
	"commensal/internal/terminal"

	"github.com/spf13/cobra"
)

func (p *Program) stockCommand() *cobra.Command {
	return group("stock", "What a shop sells", p.stockMatchCommand())
}

func (p *Program) stockMatchCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "match FILE|-",
		Short: "Match a list of articles to the kinds of the catalogue",
		Long: "match reads a list of articles and reports which kind each is, which may be several, which\n" +
			"nobody knows and which are no fish: what PUT /v1/stock would answer, without storing anything.\n\n" +
			"FILE is CSV with a header (article number, name, and if there are: species, price class, in\n" +
			"stock, note; commas, semicolons or tabs), or the JSON of the API; - reads standard input. On a\n" +
			"terminal it says how far it has come.",
		Example: "  commensal stock match till-export.csv\n  commensal stock match till-export.csv --json",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return p.matchStock(args[0], asJSON)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print what the API would report")
	return cmd
}

// maxStockFile is the largest list in bytes that is read: what the API takes.
const maxStockFile = 8 << 20

// matchStock reports on a list of articles, and tells what is wrong with it by line.
func (p *Program) matchStock(name string, asJSON bool) error {
	text, err := readUpTo(p, name, maxStockFile)
	switch {
	case err != nil:
		return &usageError{fmt.Errorf("the list cannot be read: %w", err)}
	case len(text) > maxStockFile:
		return usagef("%s is over 8 MiB: no list of articles is that long", name)
	}
	file, err := readArticles(text)
	var wrong *articles.ListError
	if errors.As(err, &wrong) {
		p.tellArticles(name, wrong)
		return &silentError{exitUsage}
	}
	if err != nil {
		return &usageError{err}
	}
	book, err := builtInBook()
	if err != nil {
		return err
	}
	report := stock.Report(book.Snapshot, file, file.Articles, p.meanings(book.Snapshot, file.Articles))
	if asJSON {
		out, err := respond.EncodeJSON(report)
		if err == nil {
			_, err = p.Stdout.Write(out)
		}
		return err
	}
	return p.layout("").WriteStockReport(p.Stdout, &report)
}

// readArticles reads CSV, or JSON where the text begins like that.
func readArticles(text []byte) (*articles.File, error) {
	if !bytes.HasPrefix(bytes.TrimSpace(text), []byte("{")) {
		return articles.ReadCSV(text)
	}
	var in gen.StockUpload
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&in); err != nil {
		return nil, fmt.Errorf("the list cannot be read as JSON: %w", err)
	}
	file := &articles.File{}
	for i := range in.Articles {
		file.Articles = append(file.Articles, stock.Given(&in.Articles[i]))
	}
	return file, articles.Inspect(file.Articles)
}

// tellArticles says what is wrong with a list, each at its line.
func (p *Program) tellArticles(name string, wrong *articles.ListError) {
	for i := range wrong.Problems {
		at := shownName(name)
		if line := wrong.Problems[i].Line; line > 0 {
			at += ":" + strconv.Itoa(line)
		}
		fmt.Fprintf(p.Stderr, "%s: %s\n", at, wrong.Problems[i].Sentence())
		if fix := wrong.Problems[i].Fix; fix != "" {
			fmt.Fprintf(p.Stderr, "  %s\n", fix)
		}
	}
	fmt.Fprintln(p.Stderr, "nothing was matched")
}

// meanings matches the articles, and says on a terminal how far it has come and how long it will take yet.
func (p *Program) meanings(snap *species.Snapshot, list []articles.Article) []articles.Meaning {
	shown := terminal.Count(p.Stderr, p.Getenv, "articles", len(list))
	defer shown.End()
	out := make([]articles.Meaning, len(list))
	for i := range list {
		shown.Done(i)
		out[i] = articles.MeaningOf(snap, &list[i])
	}
	return out
}
