package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/published"
	"commensal/internal/terminal"
	"github.com/spf13/cobra"
)

// comparing is what the compare command was asked for.
type comparing struct {
	dir, source, format string
	mark                bool
}

func (p *Program) compareCommand() *cobra.Command {
	x := &comparing{}
	cmd := &cobra.Command{
		Use:   "compare TABLE.csv|- --source KEY",
		Short: "Hold a published table against the catalogue",
		Long: "compare reads a table of published measurements and says which values of the catalogue agree,\n" +
			"which differ, by how much and to which side. The table is CSV with a column scientificName\n" +
			"and measurements with their unit, as in \"maximum standard length [cm]\", \"ph low\", \"ph high\",\n" +
			"\"hardness low [dH]\", \"temperature low [°F]\", \"maximum age [year]\". Lengths are converted to total\n" +
			"length with the ratio that is usual for the form of the body. With --mark the values that agree\n" +
			"get the key of the source beside their basis; no number of the table is copied.",
		Example: "  commensal catalogue compare lengths.csv --source handbook\n" +
			"  commensal catalogue compare lengths.csv --source handbook --dir db/catalogue --mark",
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return x.run(p, args[0]) },
	}
	cmd.Flags().StringVar(&x.dir, "dir", "", dirUsage)
	cmd.Flags().StringVar(&x.source, "source", "", "key of the publication in sources.yaml (required)")
	cmd.Flags().StringVar(&x.format, "format", "text", "text, csv or json")
	cmd.Flags().BoolVar(&x.mark, "mark", false, "write the marks of agreement into the files of --dir")
	return cmd
}

func (x *comparing) run(p *Program, file string) error {
	switch {
	case x.source == "":
		return usagef("--source is missing: the key that the publication has in sources.yaml")
	case !entry.IsSourceKey(x.source):
		return usagef("--source %q is no key: letters, digits, '.', '_' and '-'", x.source)
	case !slices.Contains([]string{"text", "csv", "json"}, x.format):
		return usagef("--format is text, csv or json, not %q", x.format)
	case x.mark && x.dir == "":
		return usagef("--mark writes into a catalogue folder: name it with --dir")
	}
	shown := terminal.Steps(p.Stderr, p.Getenv, 2)
	defer shown.End()
	shown.Step("reading the catalogue", 1)
	c, places, err := readPlaced(x.dir)
	if err != nil {
		return err
	}
	shown.Step("comparing", 1)
	report, err := x.compare(p, file, c)
	shown.End()
	if err != nil {
		return err
	}
	if err := x.write(p.Stdout, report); err != nil || !x.mark {
		return err
	}
	if !slices.ContainsFunc(c.Sources, func(s species.Source) bool { return s.Key == x.source }) {
		return fmt.Errorf("sources.yaml in %s has no %s: put its citation there first; nothing was marked", x.dir, x.source)
	}
	changed := report.Marked(c.Species)
	if err := writeMarks(x.dir, changed, places, c.Species); err != nil {
		return err
	}
	fmt.Fprintf(p.Stderr, "marks of %d entries changed\n", len(changed))
	return nil
}

// compare reads the table and holds it against the catalogue.
func (x *comparing) compare(p *Program, file string, c species.Catalogue) (*published.Report, error) {
	data, err := readUpTo(p, file, published.MaxBytes)
	if err != nil {
		return nil, err
	}
	table, err := published.Read(file, data)
	if err != nil {
		return nil, err
	}
	snapshot, err := species.NewSnapshot(0, c)
	if err != nil {
		return nil, err
	}
	return published.Compare(file, x.source, table, snapshot)
}

func (x *comparing) write(w io.Writer, report *published.Report) error {
	switch x.format {
	case "csv":
		return report.WriteCSV(w)
	case "json":
		return report.WriteJSON(w)
	}
	return report.WriteText(w)
}

// readUpTo reads a file, or standard input for -, up to one byte more than it may have.
func readUpTo(p *Program, file string, most int64) ([]byte, error) {
	in := p.stdin()
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	return io.ReadAll(io.LimitReader(in, most+1))
}

// writeMarks writes the marks of changed entries into the files of a folder. All texts are made before
// the first is written.
func writeMarks(dir string, changed []*species.Species, places *entry.Places, all []*species.Species) error {
	byFile := make(map[string][]*species.Species)
	for _, s := range changed {
		at := slices.IndexFunc(all, func(there *species.Species) bool { return there.ID == s.ID })
		file := places.Of(all[at], "").File
		byFile[file] = append(byFile[file], s)
	}
	texts := make(map[string][]byte, len(byFile))
	for file, entries := range byFile {
		path := filepath.Join(dir, filepath.FromSlash(file))
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if texts[path], err = catalogue.WriteMarks(file, text, entries); err != nil {
			return err
		}
	}
	for path, text := range texts {
		if err := os.WriteFile(path, text, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// dropMarks takes the marks of agreement out of a folder whose values have changed since.
func (p *Program) dropMarks(dir string, c species.Catalogue, places *entry.Places) error {
	if dir == "" {
		return usagef("--drop-marks writes into a catalogue folder: name it with --dir")
	}
	var changed []*species.Species
	for _, s := range c.Species {
		if marks := entry.MarksThatHold(s); len(marks) < len(s.Checked) {
			fresh := *s
			fresh.Checked = marks
			changed = append(changed, &fresh)
		}
	}
	if err := writeMarks(dir, changed, places, c.Species); err != nil {
		return err
	}
	fmt.Fprintf(p.Stdout, "marks of %d entries dropped\n", len(changed))
	return nil
}
