// Command packcatalogue packs a catalogue folder into the bytes that the program carries, and numbers
// them: bytes that are not those of the edition before become the next one. It is run by go generate and
// reads the folder from the disk, so that it needs no earlier bytes.
package main

import (
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"

	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/packed"
)

func main() {
	from := flag.String("from", "db/catalogue", "the catalogue folder")
	to := flag.String("to", "db/catalogue.packed", "where to write the bytes")
	edition := flag.String("edition", "db/catalogue.edition", "where the number of the edition stands, with the hash of its bytes")
	flag.Parse()
	if err := run(*from, *to, *edition); err != nil {
		fmt.Fprintln(os.Stderr, "packcatalogue:", err)
		os.Exit(1)
	}
}

func run(from, to, edition string) error {
	c, err := catalogue.Parse(os.DirFS(from))
	if err != nil {
		return err
	}
	bytes := packed.Encode(c)
	if err := os.WriteFile(to, bytes, 0o644); err != nil {
		return err
	}
	return number(edition, fmt.Sprintf("%x", sha256.Sum256(bytes)))
}

// number raises the edition when the hash is another one. Where two branches raised it, a merge has bytes
// that are neither's: whichever number is taken, the next one follows.
func number(edition, hash string) error {
	text, err := os.ReadFile(edition)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	var last int
	var of string
	if _, err := fmt.Sscan(string(text), &last, &of); err != nil && len(text) > 0 {
		return fmt.Errorf("%s: %w", edition, err)
	}
	if of == hash {
		return nil
	}
	return os.WriteFile(edition, fmt.Appendf(nil, "%d %s\n", last+1, hash), 0o644)
}
