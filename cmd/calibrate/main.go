// Command calibrate fits the free weights of the conflict model to the judgement
// panel, prints a report with held-out folds, and writes the weights file that the
// model embeds. It changes nothing but that file.
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"

	"commensal/internal/conflict"
	"commensal/internal/conflict/calibration"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
)

func main() {
	panel := flag.String("panel", "testdata/judgements.csv", "the judged pairs")
	out := flag.String("out", "internal/conflict/weights.json", "where to write the weights; empty writes nothing")
	version := flag.String("version", "", "name of the fit, for example the date")
	flag.Parse()
	if err := run(*panel, *out, *version, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "calibrate:", err)
		os.Exit(1)
	}
}

func run(panelPath, outPath, version string, w io.Writer) error {
	if outPath != "" && version == "" {
		return fmt.Errorf("-version is needed to write weights: answers name it")
	}
	panel, err := readPanel(panelPath)
	if err != nil {
		return err
	}
	start := conflict.StartingWeights()
	held, err := calibration.CrossValidate(panel, start)
	if err != nil {
		return err
	}
	fitted := calibration.Fit(panel, start).Rounded()
	if fitted.Version = version; version == "" {
		fitted.Version = "unnamed" // looked at and not written
	}
	if err := calibration.Report(w, panel, fitted, held); err != nil {
		return err
	}
	if outPath == "" {
		return nil
	}
	data, err := json.MarshalIndent(fitted, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(outPath, append(data, '\n'), 0o644)
}

// readPanel reads the judged pairs against the built-in catalogue.
func readPanel(path string) (calibration.Panel, error) {
	cat, err := builtin.Catalogue()
	if err != nil {
		return nil, err
	}
	snap, err := species.NewSnapshot(0, cat)
	if err != nil {
		return nil, err
	}
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
