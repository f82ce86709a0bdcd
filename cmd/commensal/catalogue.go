package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"commensal/internal/service"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/animalstext"
	"commensal/internal/species/catalogue/coverage"
	"commensal/internal/species/catalogue/lawtext"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/store"

	"github.com/spf13/cobra"
)

func (p *Program) catalogueCommand() *cobra.Command {
	return group("catalogue", "Load, verify, compare, export or import the catalogue of species, or go back",
		p.loadCommand(), p.offerCommand(), p.verifyCommand(), p.compareCommand(), p.lawCommand(), p.exportCommand(), p.importCommand(), p.revisionsCommand(), p.restoreCommand())
}

const dirUsage = "catalogue folder to read (species/*.yaml, words.yaml, sources.yaml); the built-in one when absent"

func (p *Program) loadCommand() *cobra.Command {
	var dir, note string
	s := &service.Database{}
	cmd := &cobra.Command{
		Use:   "load",
		Short: "Make a catalogue the current one, as a new revision",
		Long: "load verifies a catalogue and makes it the current one, as a numbered revision. Running\n" +
			"services take it over at once. The same catalogue again changes nothing.",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := p.fromEnvironment(cmd); err != nil {
				return err
			}
			c, err := p.soundCatalogue(dir)
			if err != nil {
				return err
			}
			if note == "" {
				if note, err = noteFor(dir); err != nil {
					return err
				}
			}
			return p.load(cmd.Context(), s, c, note)
		},
	}
	addDatabase(s, cmd.Flags())
	cmd.Flags().StringVar(&dir, "dir", "", dirUsage)
	cmd.Flags().StringVar(&note, "note", "", "why, for the list of revisions")
	return cmd
}

// offerCommand is what serve --migrate does at its start, for a job that does it once for all replicas.
func (p *Program) offerCommand() *cobra.Command {
	s := &service.Database{}
	cmd := &cobra.Command{
		Use:   "offer",
		Short: "Make the built-in catalogue the current one, unless the database has a better",
		Long: "offer loads the built-in catalogue where the database has none or an earlier edition of it. A\n" +
			"catalogue that somebody loaded, changed or went back to stays, and so does a later edition.",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := p.fromEnvironment(cmd); err != nil {
				return err
			}
			revision, taken, err := service.OfferCatalogue(cmd.Context(), s, programVersion())
			if err != nil {
				return err
			}
			what := "another catalogue, which stays"
			if taken {
				what = "the built-in catalogue"
			}
			_, err = fmt.Fprintf(p.Stdout, "revision %d holds %s\n", revision, what)
			return err
		},
	}
	addDatabase(s, cmd.Flags())
	return cmd
}

// noteFor is the note of a load: by that of the built-in catalogue later programs know that they may
// replace it.
func noteFor(dir string) (string, error) {
	if dir != "" {
		return "loaded from " + dir, nil
	}
	edition, err := service.BuiltInEdition(programVersion())
	return edition.Note(), err
}

// soundCatalogue reads a catalogue and refuses one with errors, which it lists.
func (p *Program) soundCatalogue(dir string) (species.Catalogue, error) {
	c, places, err := readPlaced(dir)
	if err != nil {
		return c, err
	}
	return c, p.refuseErrors(verify.Placed(c, places))
}

// refuseErrors lists the errors of a catalogue; it is nil where there are none.
func (p *Program) refuseErrors(problems []verify.Problem) error {
	if !verify.HasErrors(problems) {
		return nil
	}
	for _, problem := range problems {
		if problem.Severity == verify.SeverityError {
			fmt.Fprintln(p.Stderr, problem)
		}
	}
	return errors.New("the catalogue has errors and was not loaded")
}

// load writes the catalogue to the database. A private database is this program's own
// to migrate.
func (p *Program) load(ctx context.Context, s *service.Database, c species.Catalogue, note string) error {
	return service.WithStore(ctx, s, s.Private(), func(st *store.Store) error {
		return writeRevision(ctx, p.Stdout, st, c, note)
	})
}

func writeRevision(ctx context.Context, w io.Writer, st *store.Store, c species.Catalogue, note string) error {
	revision, changed, err := st.LoadCatalogue(ctx, c, note)
	if err != nil {
		return err
	}
	return tellRevision(w, revision, changed, len(c.Species))
}

func tellRevision(w io.Writer, revision int64, changed bool, entries int) (err error) {
	if !changed {
		_, err = fmt.Fprintf(w, "revision %d holds this catalogue already (%d species)\n", revision, entries)
		return err
	}
	_, err = fmt.Fprintf(w, "loaded %d species as revision %d\n", entries, revision)
	return err
}

func (p *Program) verifyCommand() *cobra.Command {
	var dir string
	var report, reviewed, markdown, dropMarks, outliers bool
	var worst int
	cmd := &cobra.Command{
		Use:   "verify",
		Short: "Check the content of a catalogue",
		Long: "verify checks units, ranges, names, references and whether the values of an entry fit each\n" +
			"other. Errors make it fail; what is marked for review is unusual and somebody should look.\n" +
			"What was found right is noted in the entry under reviewed, and then only counted.",
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			c, places, err := readPlaced(dir)
			if err != nil {
				return err
			}
			if dropMarks {
				return p.dropMarks(dir, c, places)
			}
			if outliers {
				return listOutliers(p.Stdout, c.Species, worst)
			}
			if markdown {
				return coverage.Of(c).WriteMarkdown(p.Stdout, verify.Placed(c, places))
			}
			if report {
				if err := coverage.Of(c).WriteText(p.Stdout); err != nil {
					return err
				}
				fmt.Fprintln(p.Stdout)
			}
			if _, err := lawtext.Read(catalogueFiles(dir), c.Species); err != nil {
				return inFolder(dir, err)
			}
			if _, err := animalstext.Read(catalogueFiles(dir)); err != nil {
				return inFolder(dir, err)
			}
			return verdict(p.Stdout, len(c.Species), verify.Placed(c, places), reviewed)
		},
	}
	cmd.Flags().StringVar(&dir, "dir", "", dirUsage)
	cmd.Flags().BoolVar(&report, "report", false, "first say what the catalogue holds and what it rests on")
	cmd.Flags().BoolVar(&markdown, "markdown", false, "print the report alone, as the page db/catalogue/COVERAGE.md")
	cmd.Flags().BoolVar(&outliers, "outliers", false, "rank the values by their distance from what the rest of the catalogue predicts")
	cmd.Flags().IntVar(&worst, "worst", 20, "with --outliers, how many of each trait; 0 for all")
	cmd.Flags().BoolVar(&dropMarks, "drop-marks", false, "take out of the files of --dir the marks of agreement whose values have changed")
	cmd.Flags().BoolVar(&reviewed, "reviewed", false, "also list what is unusual and was found right, with the reasons")
	return cmd
}

// verdict lists the problems and ends with a count.
func verdict(w io.Writer, entries int, problems []verify.Problem, showReviewed bool) error {
	count := make(map[verify.Severity]int)
	for _, problem := range problems {
		count[problem.Severity]++
		if problem.Severity != verify.SeverityReviewed || showReviewed {
			fmt.Fprintln(w, problem)
		}
	}
	fmt.Fprintf(w, "%d species: %d errors, %d to review, %d reviewed\n", entries,
		count[verify.SeverityError], count[verify.SeverityReview], count[verify.SeverityReviewed])
	if count[verify.SeverityError] > 0 {
		return &silentError{exitFailure}
	}
	return nil
}
