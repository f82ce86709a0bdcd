// Command calibrate fits the free weights of the conflict model to the judged pairs,
// prints a report with held-out figures, and writes the weights file that the
// model embeds. It changes nothing but that file.
package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/conflict/calibration"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/terminal"
)

// options are what the command line asks for.
type options struct {
	panels  string // files of judgements, separated by commas
	popular string // file of the popular kinds
	out     string // where to write the weights; empty writes nothing
	version string // name of the fit
	quick   bool   // without the held-out folds
	weights string // weights to look at instead of fitting

	test     string // files of judgements that the fit must not see
	pairs    string // where to write every pair with its held-out score
	leanings string // where to write the trait values that the judgements would have otherwise
}

func main() {
	var o options
	flag.StringVar(&o.panels, "panel", "testdata/judgements-dev.csv,testdata/judgements-dev2.csv,testdata/judgements-own.csv,testdata/judgements-conditions.csv,testdata/judgements-conditions-own.csv", "the judged pairs, files separated by commas")
	flag.StringVar(&o.popular, "popular", "testdata/species-required.txt", "the kinds that every keeper knows, one a line")
	flag.StringVar(&o.out, "out", "internal/conflict/weights.json", "where to write the weights; empty writes nothing")
	flag.StringVar(&o.version, "version", "", "name of the fit, for example the date")
	flag.BoolVar(&o.quick, "quick", false, "fit and write without the held-out report")
	flag.StringVar(&o.weights, "weights", "", "a file of weights to look at instead of fitting; implies -quick and writes no weights")
	flag.StringVar(&o.test, "test", "", "judged pairs that the fit does not see and is judged by, files separated by commas")
	flag.StringVar(&o.pairs, "pairs", "", "where to write every pair with its score (held out unless -quick) and hazards, as CSV")
	flag.StringVar(&o.leanings, "leanings", "", "where to write the trait values that the judgements would have otherwise, as CSV, for review")
	flag.Parse()
	if err := run(o, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "calibrate:", err)
		os.Exit(1)
	}
}

// heldOutWork is about how many fits judging by what was not seen takes: one for each fold.
const heldOutWork = 5

func run(o options, w io.Writer) error {
	if o.out != "" && o.version == "" {
		return fmt.Errorf("-version is needed to write weights: answers name it")
	}
	snap, err := builtIn()
	if err != nil {
		return err
	}
	panel, err := readPanels(o.panels, snap)
	if err != nil {
		return err
	}
	popular, err := readPopular(o.popular, snap)
	if err != nil {
		return err
	}
	start := conflict.StartingWeights()
	shown := terminal.Steps(os.Stderr, os.Getenv, 1+heldOutWork)
	defer shown.End()
	shown.Step("fitting all judgements", 1)
	fitted, err := o.fit(panel, start)
	if err != nil {
		return err
	}
	var held calibration.Held
	if o.quick {
		if held.Causes, err = panel.Causes(fitted); err != nil {
			return err
		}
	} else {
		shown.Step("fitting without each fold, to judge what was not seen", heldOutWork)
		if held, err = calibration.CrossValidate(panel, start); err != nil {
			return err
		}
		shown.End()
		if err := calibration.Report(w, panel, fitted, held, popular); err != nil {
			return err
		}
	}
	if o.pairs != "" {
		if err := create(o.pairs, func(f io.Writer) error { return calibration.WritePairs(f, panel, held) }); err != nil {
			return err
		}
	}
	if err := test(o.test, snap, fitted, popular, w); err != nil {
		return err
	}
	if err := lean(o.leanings, panel, fitted, w); err != nil {
		return err
	}
	return write(o.out, fitted)
}

// test reports the agreement with judgements that the fit has not seen, where given.
func test(paths string, snap *species.Snapshot, fitted conflict.Weights, popular calibration.Popular, w io.Writer) error {
	if paths == "" {
		return nil
	}
	panel, err := readPanels(paths, snap)
	if err != nil {
		return err
	}
	return calibration.ReportUnseen(w, panel, fitted, popular)
}

// lean writes the leanings where a path is given, and says whether they carry to pairs that
// they have not seen.
func lean(path string, panel calibration.Panel, fitted conflict.Weights, w io.Writer) error {
	if path == "" {
		return nil
	}
	without, with, err := panel.LeaningsHold(fitted)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "\nleanings: kappa of pairs not seen %.3f without, %.3f with those of the other pairs\n", without, with)
	leanings, err := panel.Leanings(fitted)
	if err != nil {
		return err
	}
	return create(path, func(f io.Writer) error { return calibration.WriteLeanings(f, leanings) })
}

// create writes a file.
func create(path string, fill func(io.Writer) error) (err error) {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	return fill(f)
}

// fit fits the weights, or reads those that are to be looked at.
func (o *options) fit(panel calibration.Panel, start conflict.Weights) (w conflict.Weights, err error) {
	if o.weights != "" {
		o.quick, o.out = true, ""
		data, err := os.ReadFile(o.weights)
		if err != nil {
			return w, err
		}
		return w, json.Unmarshal(data, &w)
	}
	w = calibration.Fit(panel, start).Rounded()
	if w.Version = o.version; o.version == "" {
		w.Version = "unnamed" // looked at and not written
	}
	return w, nil
}

// write writes the weights where a path is given.
func write(path string, fitted conflict.Weights) error {
	if path == "" {
		return nil
	}
	data, err := json.MarshalIndent(fitted, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(path, append(data, '\n'), 0o644)
}

// builtIn is the built-in catalogue.
func builtIn() (*species.Snapshot, error) {
	cat, err := builtin.Catalogue()
	if err != nil {
		return nil, err
	}
	return species.NewSnapshot(0, cat)
}

// readPanels reads the judged pairs of several files.
func readPanels(paths string, snap *species.Snapshot) (panel calibration.Panel, err error) {
	for path := range strings.SplitSeq(paths, ",") {
		part, err := readPanel(path, snap)
		if err != nil {
			return nil, err
		}
		panel = append(panel, part...)
	}
	return panel, nil
}

func readPanel(path string, snap *species.Snapshot) (calibration.Panel, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return calibration.Read(f, func(name string) (*species.Species, error) {
		m, err := snap.Resolve(name)
		return m.Species, err
	})
}

// readPopular reads the kinds that every keeper knows.
func readPopular(path string, snap *species.Snapshot) (calibration.Popular, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	kinds := map[*species.Species]bool{}
	for line := range strings.Lines(string(data)) {
		if name := strings.TrimSpace(line); name != "" && !strings.HasPrefix(name, "#") {
			m, err := snap.Resolve(name)
			if err != nil {
				return nil, err
			}
			kinds[m.Species] = true
		}
	}
	return func(sp *species.Species) bool { return kinds[sp] }, nil
}
