package main

import (
	"fmt"
	"io"
	"strings"

	"commensal/internal/scale"
)

// unevenly is the exponent of Zipf's law that the table reckons with: between a shop's regulars and a search engine's words.
const unevenly = 0.8

// loads are the columns of the table: shops, tanks, lookups a second.
var loads = [][3]float64{{100, 10_000, 1_000}, {10_000, 1_000_000, 100_000}}

// writeTable writes what each of the loads takes.
func writeTable(w io.Writer, f *scale.Figures) error {
	p, err := scale.NewPairs(f.Kinds, unevenly)
	if err != nil {
		return err
	}
	hit := simulated(p, f, scale.ReplicaCacheMiB, plainly)
	var columns [][]scale.Need
	fmt.Fprint(w, "| what |")
	for _, l := range loads {
		fmt.Fprintf(w, " %s shops, %s tanks, %s lookups a second |", scale.Digits(l[0]), scale.Digits(l[1]), scale.Digits(l[2]))
		load := scale.Usual(l[0], l[1], l[2], hit)
		columns = append(columns, f.Needs(&load))
	}
	fmt.Fprint(w, "\n| --- | --- | --- |\n")
	for i, need := range columns[0] {
		fmt.Fprintf(w, "| %s |", need.What)
		for _, c := range columns {
			fmt.Fprintf(w, " %s |", withUnit(c[i]))
		}
		fmt.Fprintln(w)
	}
	return nil
}

func withUnit(n scale.Need) string {
	if scale.Digits(n.Value) == "1" {
		n.Unit = strings.TrimSuffix(n.Unit, "s")
	}
	switch n.Unit {
	case "":
		return scale.Digits(n.Value)
	case "%":
		return scale.Digits(n.Value) + " %"
	}
	return scale.Digits(n.Value) + " " + n.Unit
}
