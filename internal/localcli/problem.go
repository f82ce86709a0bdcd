package localcli

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"commensal/api/gen"
)

// WriteListProblem says what is wrong with a list, in the order of its lines.
func (l Layout) WriteListProblem(w io.Writer, f *List, p *gen.Problem) {
	if p.Errors == nil || len(*p.Errors) == 0 {
		fmt.Fprintln(w, l.wrap("", "  ", f.name+": "+p.Detail))
		return
	}
	errors := slices.Clone(*p.Errors)
	slices.SortStableFunc(errors, func(a, b gen.FieldError) int { return cmp.Compare(f.line(a.Pointer), f.line(b.Pointer)) })
	for _, e := range errors {
		detail := e.Detail
		if field := e.Pointer[strings.LastIndexByte(e.Pointer, '/')+1:]; e.Pointer != "" {
			detail = strings.Replace(detail, e.Pointer+" ", field+" ", 1)
		}
		fmt.Fprintln(w, l.wrap("", "  ", (&FileError{f.name, f.line(e.Pointer), detail}).Error()))
		if e.Fix != nil {
			fmt.Fprintln(w, l.wrap("  ", "  ", AtPrompt(*e.Fix)))
		}
		if e.Candidates != nil {
			l.writeCandidates(w, *e.Candidates)
		}
	}
}

// WriteProblem says for people at a prompt what was wrong with a question: the value, the fix, and the
// fish that a name may have meant. flags names the flag that stands for a query parameter.
func (l Layout) WriteProblem(w io.Writer, p *gen.Problem, flags map[string]string) {
	if p.Errors == nil || len(*p.Errors) == 0 {
		fmt.Fprintln(w, "commensal:", p.Detail)
		return
	}
	for _, e := range *p.Errors {
		fmt.Fprintln(w, l.wrap("commensal: ", "  ", placed(e, flags)))
		if e.Fix != nil {
			fmt.Fprintln(w, l.wrap("  ", "  ", AtPrompt(*e.Fix)))
		}
		if e.Candidates != nil {
			l.writeCandidates(w, *e.Candidates)
		}
	}
}

// AtPrompt is what to do in the words of the prompt, where the service speaks of its requests.
func AtPrompt(fix string) string {
	return atPrompt.Replace(fix)
}

var atPrompt = strings.NewReplacer("/v1/species?q=", "commensal species NAME")

// writeCandidates lists fish with the id that names each for certain.
func (l Layout) writeCandidates(w io.Writer, list []gen.SpeciesRef) {
	wide := 0
	for _, c := range list {
		wide = max(wide, runes(c.Id))
	}
	for _, c := range list {
		fmt.Fprintln(w, l.wrap("  "+pad(c.Id, wide)+"  ", "    ", c.VernacularName))
	}
}

// placed is what is wrong, with the flag it is wrong with in front where the contract
// names a query parameter. A name needs no place: the detail repeats it.
func placed(e gen.FieldError, flags map[string]string) string {
	parameter, ok := strings.CutPrefix(e.Pointer, "/query/")
	if !ok {
		return e.Detail
	}
	flag := parameter
	if name := flags[parameter]; name != "" {
		flag = "--" + name
	}
	return flag + ": " + strings.TrimPrefix(e.Detail, parameter+": ")
}
