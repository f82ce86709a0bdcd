package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"commensal/internal/service"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/compare"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/sheet"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/store"
	"commensal/internal/terminal"

	"github.com/spf13/cobra"
)

// importing is what the import command was asked for.
type importing struct {
	set                  service.Database
	dir, out, note       string
	words, sources       string
	stored, replace, put bool
	file                 string
}

func (p *Program) importCommand() *cobra.Command {
	x := &importing{}
	cmd := &cobra.Command{
		Use:   "import FILE|-",
		Short: "Take entries from a CSV file into a catalogue",
		Long: "import reads CSV as catalogue export --format csv writes it: a header, one entry a row, a unit\n" +
			"in the header of every number and a basis beside it. A row changes the entry of its name, or\n" +
			"adds one. What the file has no column for stays; an empty cell means that nothing is known.\n" +
			"It checks everything that verify checks and shows what would change. Nothing is written\n" +
			"without --out or --load.",
		Example: "  commensal catalogue import fish.csv\n  commensal catalogue import fish.csv --out proposal\n" +
			"  commensal catalogue import fish.csv --load --note 'lengths measured in spring'",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := p.fromEnvironment(cmd); err != nil {
				return err
			}
			x.file = args[0]
			return x.run(cmd.Context(), p)
		},
	}
	addDatabase(&x.set, cmd.Flags())
	cmd.Flags().StringVar(&x.dir, "dir", "", "catalogue folder to change; with --load what the database holds, else the built-in one")
	cmd.Flags().BoolVar(&x.stored, "stored", false, "change what the database holds")
	cmd.Flags().BoolVar(&x.replace, "replace", false, "the file is the whole catalogue: entries it does not have are removed")
	cmd.Flags().StringVar(&x.words, "words", "", "words.yaml to take the place of the trade words")
	cmd.Flags().StringVar(&x.sources, "sources", "", "sources.yaml to take the place of the list of sources")
	cmd.Flags().StringVar(&x.out, "out", "", "new folder to write the proposed catalogue to, in YAML")
	cmd.Flags().BoolVar(&x.put, "load", false, "make the result the current revision of the database")
	cmd.Flags().StringVar(&x.note, "note", "", "why, for the list of revisions")
	return cmd
}

// run carries the import out, with a database where one is asked for.
func (x *importing) run(ctx context.Context, p *Program) error {
	if x.stored && x.dir != "" {
		return usagef("--stored and --dir name two catalogues: give one of them")
	}
	data, err := x.read(p)
	if err != nil {
		return err
	}
	if !x.stored && !x.put {
		base, places, err := readPlaced(x.dir)
		if err != nil {
			return err
		}
		_, err = x.propose(p, data, base, places)
		return err
	}
	return service.WithStore(ctx, &x.set, x.put && x.set.Private(), func(st *store.Store) error {
		return x.amend(ctx, p, st, data)
	})
}

// read reads the file, or standard input, up to one byte more than it may have.
func (x *importing) read(p *Program) ([]byte, error) {
	return readUpTo(p, x.file, sheet.MaxBytes)
}

// amend makes the change on top of what the database holds, and loads it if asked to.
func (x *importing) amend(ctx context.Context, p *Program, st *store.Store, data []byte) error {
	base, current, revision, err := x.storedBase(ctx, st)
	if err != nil {
		return err
	}
	after, err := x.propose(p, data, base, current)
	if err != nil || !x.put {
		return err
	}
	note := x.note
	if note == "" {
		note = "imported from " + x.file
	}
	number, changed, err := st.AmendCatalogue(ctx, revision, after, note)
	if err != nil {
		return err
	}
	return tellRevision(p.Stdout, number, changed, len(after.Species))
}

// storedBase is the catalogue to change and the revision that the database is at. An
// empty database starts from the built-in catalogue.
func (x *importing) storedBase(ctx context.Context, st *store.Store) (base species.Catalogue, places *entry.Places, revision int64, err error) {
	revision, err = st.CurrentRevision(ctx)
	switch {
	case errors.Is(err, store.ErrNoCatalogue) && x.put, err == nil && x.dir != "":
		base, places, err = readPlaced(x.dir)
	case err == nil:
		base, err = st.Catalogue(ctx, revision)
	}
	return base, places, revision, err
}

// propose shows what the file changes, judges the result, and writes it to the folder
// asked for.
func (x *importing) propose(p *Program, data []byte, base species.Catalogue, places *entry.Places) (after species.Catalogue, err error) {
	shown := terminal.Steps(p.Stderr, p.Getenv, 3)
	defer shown.End()
	shown.Step("reading the entries", 1)
	sheet, err := sheet.Read(x.file, data, base)
	if err != nil {
		return after, fmt.Errorf("%w\nnothing was imported", err)
	}
	after = sheet.Into(base, x.replace)
	if err := x.lists(&after); err != nil {
		return after, err
	}
	shown.Step("checking the catalogue as it is", 1)
	before := verify.Catalogue(base)
	shown.Step("checking what it would be", 1)
	problems := verify.Placed(after, sheet.Places.Join(places))
	shown.End()
	if err := compare.Catalogues(base, after).WriteText(p.Stdout); err != nil {
		return after, err
	}
	if err := judge(p.Stdout, before, problems); err != nil {
		return after, err
	}
	switch {
	case x.out != "":
		return after, writeFolder(x.out, after)
	case !x.put:
		fmt.Fprintln(p.Stdout, "nothing was written: --out FOLDER writes the proposed catalogue, --load makes it the current revision")
	}
	return after, nil
}

// judge lists the errors, and what is to review that was not so before; errors refuse
// the import.
func judge(w io.Writer, before, after []verify.Problem) error {
	known := make(map[string]bool, len(before))
	for _, problem := range before {
		problem.Place = entry.Place{}
		known[problem.String()] = true
	}
	for _, problem := range after {
		bare := problem
		bare.Place = entry.Place{}
		if problem.Severity == verify.SeverityError || problem.Severity == verify.SeverityReview && !known[bare.String()] {
			fmt.Fprintln(w, problem)
		}
	}
	if verify.HasErrors(after) {
		return errors.New("the catalogue would have errors: nothing was imported")
	}
	return nil
}

// lists puts the trade words and sources asked for in place of those there.
func (x *importing) lists(c *species.Catalogue) (err error) {
	if x.words != "" {
		if c.Words, err = readList(x.words, catalogue.ParseWords); err != nil {
			return err
		}
	}
	if x.sources != "" {
		c.Sources, err = readList(x.sources, catalogue.ParseSources)
	}
	return err
}

func readList[T any](name string, parse func(string, []byte) ([]T, error)) ([]T, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	return parse(name, data)
}
