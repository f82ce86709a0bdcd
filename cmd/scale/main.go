// Command scale tells what running the service for many takes.
//
//	go run ./cmd/scale measure >deploy/scale.json    what requests cost and things take, here and now; some minutes
//	go run ./cmd/scale table                         what a load takes, from those figures
//	go run ./cmd/scale popularity                    what the cache of answers has, by its size and by how unevenly is asked
//
// The last two print what stands in deploy/SCALE.md; a test compares them.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"

	"commensal/internal/scale"
)

// figuresFile is where the figures are, from the root of the repository.
const figuresFile = "deploy/scale.json"

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "scale:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string, w io.Writer) error {
	if len(args) != 1 {
		return errors.New("write one of measure, table and popularity")
	}
	if args[0] == "measure" {
		f, err := measure(ctx)
		if err != nil {
			return err
		}
		e := json.NewEncoder(w)
		e.SetIndent("", "  ")
		return e.Encode(f)
	}
	f, err := readFigures(figuresFile)
	if err != nil {
		return err
	}
	switch args[0] {
	case "table":
		return writeTable(w, f)
	case "popularity":
		return writePopularity(w, f)
	}
	return fmt.Errorf("%q is none of measure, table and popularity", args[0])
}

func readFigures(path string) (*scale.Figures, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	f, err := scale.Read(file)
	return &f, err
}
