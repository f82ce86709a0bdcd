package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"

	"commensal/internal/species"
	"commensal/internal/species/catalogue"

	"github.com/spf13/cobra"
)

// export is what the export command was asked for.
type export struct {
	set    settings
	dir    string
	stored bool
	format string
	out    string
}

func (p *Program) exportCommand() *cobra.Command {
	x := &export{}
	cmd := &cobra.Command{
		Use:   "export",
		Short: "Write a catalogue as YAML or JSON",
		Long: "export writes a catalogue to standard output: with --format yaml the species alone, in the\n" +
			"text that reviewers read; with --format json everything as one object. With --out it writes\n" +
			"a whole catalogue folder in YAML, which load and verify read.",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := p.fromEnvironment(cmd); err != nil {
				return err
			}
			return x.run(cmd.Context(), p.Stdout)
		},
	}
	x.set.addDatabase(cmd.Flags())
	cmd.Flags().StringVar(&x.dir, "dir", "", dirUsage)
	cmd.Flags().BoolVar(&x.stored, "stored", false, "export what the database holds, not the built-in catalogue")
	cmd.Flags().StringVar(&x.format, "format", "yaml", "yaml or json")
	cmd.Flags().StringVar(&x.out, "out", "", "new folder to write a whole catalogue to")
	return cmd
}

func (x *export) run(ctx context.Context, w io.Writer) error {
	if x.format != "yaml" && x.format != "json" {
		return usagef("--format is yaml or json, not %q", x.format)
	}
	if x.stored && x.dir != "" {
		return usagef("--stored and --dir name two catalogues: give one of them")
	}
	if x.out != "" && x.format == "json" {
		return usagef("--out writes a folder in YAML: leave --format json out, or --out")
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
	}
	return catalogue.Format(w, c.Species)
}

func (x *export) read(ctx context.Context) (c species.Catalogue, err error) {
	if !x.stored {
		return readCatalogue(x.dir)
	}
	quiet := slog.New(slog.DiscardHandler)
	err = withDatabase(ctx, &x.set, quiet, func(dsn string) error {
		st, err := openStore(ctx, dsn, false, quiet)
		if err != nil {
			return err
		}
		defer st.Close()
		revision, err := st.CurrentRevision(ctx)
		if err != nil {
			return err
		}
		c, err = st.Catalogue(ctx, revision)
		return err
	})
	return c, err
}

// writeFolder writes a catalogue folder that was not there before.
func writeFolder(dir string, c species.Catalogue) error {
	if err := os.Mkdir(dir, 0o755); err != nil {
		return fmt.Errorf("--out needs the name of a new folder: %w", err)
	}
	if err := os.Mkdir(filepath.Join(dir, "species"), 0o755); err != nil {
		return err
	}
	for _, file := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"species/all.yaml", func(w io.Writer) error { return catalogue.Format(w, c.Species) }},
		{"words.yaml", func(w io.Writer) error { return catalogue.FormatWords(w, c.Words) }},
		{"sources.yaml", func(w io.Writer) error { return catalogue.FormatSources(w, c.Sources) }},
	} {
		var b bytes.Buffer
		if err := file.write(&b); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, filepath.FromSlash(file.name)), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}
