// Command lists asks the API's own handler about the judged lists of testdata/lists.json, as a
// till would, and prints how often the decision is one that a careful keeper would defend.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
)

func main() {
	path := flag.String("lists", "testdata/lists.json", "the judged lists")
	misses := flag.Bool("misses", false, "print every list that was decided otherwise, with the reasons given")
	flag.Parse()
	if err := run(*path, *misses, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "lists:", err)
		os.Exit(1)
	}
}

func run(path string, misses bool, w io.Writer) error {
	cases, err := readCases(path)
	if err != nil {
		return err
	}
	outcomes, err := askAll(cases)
	if err != nil {
		return err
	}
	if misses {
		writeMisses(w, outcomes)
	}
	writeTable(w, outcomes)
	return nil
}
