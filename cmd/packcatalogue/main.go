// Command packcatalogue packs a catalogue folder into the bytes that the program carries. It is run
// by go generate and reads the folder from the disk, so that it needs no earlier bytes.
package main

import (
	"flag"
	"fmt"
	"os"

	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/packed"
)

func main() {
	from := flag.String("from", "db/catalogue", "the catalogue folder")
	to := flag.String("to", "db/catalogue.packed", "where to write the bytes")
	flag.Parse()
	if err := run(*from, *to); err != nil {
		fmt.Fprintln(os.Stderr, "packcatalogue:", err)
		os.Exit(1)
	}
}

func run(from, to string) error {
	c, err := catalogue.Parse(os.DirFS(from))
	if err != nil {
		return err
	}
	return os.WriteFile(to, packed.Encode(c), 0o644)
}
