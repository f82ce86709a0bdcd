package main

import (
	"fmt"
	"io"
	"strings"

	"commensal/api/gen"
)

// writeProblem says for people at a prompt what was wrong with a question: the value,
// the fix, and the fish that a name may have meant.
func writeProblem(w io.Writer, p *gen.Problem) {
	if p.Errors == nil || len(*p.Errors) == 0 {
		fmt.Fprintln(w, "commensal:", p.Detail)
		return
	}
	for _, e := range *p.Errors {
		fmt.Fprintln(w, wrap("commensal: ", "  ", placed(e)))
		if e.Fix != nil {
			fmt.Fprintln(w, wrap("  ", "  ", *e.Fix))
		}
		if e.Candidates != nil {
			writeCandidates(w, *e.Candidates)
		}
	}
}

// writeCandidates lists fish with the id that names each for certain.
func writeCandidates(w io.Writer, list []gen.SpeciesRef) {
	wide := 0
	for _, c := range list {
		wide = max(wide, runes(c.Id))
	}
	for _, c := range list {
		fmt.Fprintf(w, "  %s  %s\n", pad(c.Id, wide), c.VernacularName)
	}
}

// placed is what is wrong, with the flag it is wrong with in front where the contract
// names a query parameter. A name needs no place: the detail repeats it.
func placed(e gen.FieldError) string {
	parameter, ok := strings.CutPrefix(e.Pointer, "/query/")
	if !ok {
		return e.Detail
	}
	flag := parameter
	for _, f := range pairFlags {
		if f.parameter == parameter {
			flag = "--" + f.flag
		}
	}
	return flag + ": " + strings.TrimPrefix(e.Detail, parameter+": ")
}
