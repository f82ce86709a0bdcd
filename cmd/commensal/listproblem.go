package main

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"

	"commensal/api/gen"
)

// ask puts one request to the API's handler. It returns the body of the answer, and
// the problem when the answer is one.
func (o *offline) ask(method, target string, body []byte) (answer []byte, problem *gen.Problem, err error) {
	request, err := http.NewRequest(method, target, bytes.NewReader(body))
	if err != nil {
		return nil, nil, usagef("the question cannot be asked: %w", err)
	}
	request.Header.Set("Content-Type", "application/json")
	r := &recorder{status: http.StatusOK, header: http.Header{}}
	o.skin.Handler().ServeHTTP(r, request)
	if r.status == http.StatusOK {
		return r.body.Bytes(), nil, nil
	}
	problem = &gen.Problem{}
	if err := decode(r.body.Bytes(), problem); err != nil {
		return nil, nil, err
	}
	if problem.Status >= http.StatusInternalServerError {
		return nil, nil, fmt.Errorf("%s: %s", problem.Title, problem.Detail)
	}
	return r.body.Bytes(), problem, nil
}

// writeListProblem says what is wrong with a list, in the order of its lines.
func writeListProblem(w io.Writer, f *listFile, p *gen.Problem) {
	if p.Errors == nil || len(*p.Errors) == 0 {
		fmt.Fprintln(w, wrap("", "  ", f.name+": "+p.Detail))
		return
	}
	errors := slices.Clone(*p.Errors)
	slices.SortStableFunc(errors, func(a, b gen.FieldError) int { return cmp.Compare(f.line(a.Pointer), f.line(b.Pointer)) })
	for _, e := range errors {
		detail := e.Detail
		if field := e.Pointer[strings.LastIndexByte(e.Pointer, '/')+1:]; e.Pointer != "" {
			detail = strings.Replace(detail, e.Pointer+" ", field+" ", 1)
		}
		fmt.Fprintln(w, wrap("", "  ", (&fileError{f.name, f.line(e.Pointer), detail}).Error()))
		if e.Fix != nil {
			fmt.Fprintln(w, wrap("  ", "  ", *e.Fix))
		}
		if e.Candidates != nil {
			writeCandidates(w, *e.Candidates)
		}
	}
}
