package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"commensal/internal/service"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/sheet"
	"commensal/internal/store"

	"github.com/spf13/cobra"
)

// export is what the export command was asked for.
type export struct {
	set    service.Database
	dir    string
	stored bool
	format string
	out    string
}

func (p *Program) exportCommand() *cobra.Command {
	x := &export{}
	cmd := &cobra.Command{
		Use:   "export",
		Short: "Write a catalogue as YAML, CSV or JSON",
		Long: "export writes a catalogue to standard output: with --format yaml the species alone, in the\n" +
			"text that reviewers read; with --format csv the species as a sheet with Darwin Core terms,\n" +
			"which import reads; with --format json everything as one object. With --out it writes a\n" +
			"whole catalogue folder in YAML, which load and verify read.",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := p.fromEnvironment(cmd); err != nil {
				return err
			}
			return x.run(cmd.Context(), p.Stdout)
		},
	}
	addDatabase(&x.set, cmd.Flags())
	cmd.Flags().StringVar(&x.dir, "dir", "", dirUsage)
	cmd.Flags().BoolVar(&x.stored, "stored", false, "export what the database holds, not the built-in catalogue")
	cmd.Flags().StringVar(&x.format, "format", "yaml", "yaml, csv or json")
	cmd.Flags().StringVar(&x.out, "out", "", "new folder to write a whole catalogue to")
	return cmd
}

func (x *export) run(ctx context.Context, w io.Writer) error {
	if x.format != "yaml" && x.format != "csv" && x.format != "json" {
		return usagef("--format is yaml, csv or json, not %q", x.format)
	}
	if x.stored && x.dir != "" {
		return usagef("--stored and --dir name two catalogues: give one of them")
	}
	if x.out != "" && x.format != "yaml" {
		return usagef("--out writes a folder in YAML: leave --format %s out, or --out", x.format)
	}
	c, err := x.read(ctx)
	if err != nil {
		return err
	}
	switch {
	case x.out != "":
		return writeFolder(x.out, c)
	case x.format == "json":
		return catalogue.FormatJSON(w, c)
	case x.format == "csv":
		return sheet.Format(w, c.Species)
	}
	return catalogue.Format(w, c.Species)
}

func (x *export) read(ctx context.Context) (c species.Catalogue, err error) {
	if !x.stored {
		return readCatalogue(x.dir)
	}
	err = service.WithStore(ctx, &x.set, false, func(st *store.Store) error {
		revision, err := st.CurrentRevision(ctx)
		if err != nil {
			return err
		}
		c, err = st.Catalogue(ctx, revision)
		return err
	})
	return c, err
}

// writeFolder writes a catalogue folder that was not there before. All texts are made
// before the first is written.
func writeFolder(dir string, c species.Catalogue) error {
	files := []struct {
		name  string
		write func(io.Writer) error
		text  bytes.Buffer
	}{
		{name: "species/all.yaml", write: func(w io.Writer) error { return catalogue.Format(w, c.Species) }},
		{name: "words.yaml", write: func(w io.Writer) error { return catalogue.FormatWords(w, c.Words) }},
		{name: "sources.yaml", write: func(w io.Writer) error { return catalogue.FormatSources(w, c.Sources) }},
	}
	for i := range files {
		if err := files[i].write(&files[i].text); err != nil {
			return err
		}
	}
	if err := os.Mkdir(dir, 0o755); err != nil {
		return fmt.Errorf("--out needs the name of a new folder: %w", err)
	}
	if err := os.Mkdir(filepath.Join(dir, "species"), 0o755); err != nil {
		return err
	}
	for _, file := range files {
		if err := os.WriteFile(filepath.Join(dir, filepath.FromSlash(file.name)), file.text.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}
