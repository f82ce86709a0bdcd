// Command contractlint judges openapi.yaml: against the OpenAPI rules, through a
// validator that the service itself does not use, and against the rules of the house.
// It is a module of its own, so that the validator stays out of the product's.
package main

import (
	"fmt"
	"os"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: contractlint openapi.yaml")
		os.Exit(2)
	}
	text, err := os.ReadFile(os.Args[1])
	if err != nil {
		fmt.Fprintln(os.Stderr, "contractlint:", err)
		os.Exit(1)
	}
	report, faults := lint(text)
	for _, fault := range faults {
		fmt.Fprintln(os.Stderr, fault)
	}
	if len(faults) > 0 {
		fmt.Fprintf(os.Stderr, "contractlint: %d faults\n", len(faults))
		os.Exit(1)
	}
	fmt.Println(report)
}
