package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"runtime/debug"
	"strings"
	"sync"

	"commensal/api"
	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// offline is the API over the built-in catalogue, without network or database.
type offline struct {
	book *conflict.Book
	skin *api.Server
}

// openOffline reads the catalogue and, beside it, compiles the contract: somebody is
// waiting at a counter.
func openOffline() (*offline, error) {
	// The program ends before a collection of garbage would pay.
	debug.SetGCPercent(shortLivedGC)
	o := &offline{}
	var work sync.WaitGroup
	var skinErr error
	work.Go(func() {
		o.skin, skinErr = api.New(api.Config{
			Book:    func() *conflict.Book { return o.book },
			Version: programVersion(), CacheBytes: -1, // one question, one answer
		})
	})
	book, err := builtInBook()
	work.Wait()
	o.book = book
	return o, errors.Join(err, skinErr)
}

// shortLivedGC lets the heap grow to several times its size first: some 40 MB.
const shortLivedGC = 800

// pairing puts one question to the API's handler. It returns the body of the answer,
// and the problem when the answer is one.
func (o *offline) pairing(first, second string, query url.Values) (body []byte, problem *gen.Problem, err error) {
	for _, name := range []string{first, second} {
		if strings.TrimSpace(name) == "" {
			return nil, nil, usagef("a name is empty")
		}
	}
	path := "/v1/pairings/" + url.PathEscape(first) + "/" + url.PathEscape(second)
	request, err := http.NewRequest(http.MethodGet, path+"?"+query.Encode(), nil)
	if err != nil {
		return nil, nil, usagef("the question cannot be asked: %w", err)
	}
	answer := &recorder{status: http.StatusOK, header: http.Header{}}
	o.skin.Handler().ServeHTTP(answer, request)
	if answer.status == http.StatusOK {
		return answer.body.Bytes(), nil, nil
	}
	problem = &gen.Problem{}
	if err := decode(answer.body.Bytes(), problem); err != nil {
		return nil, nil, err
	}
	if problem.Status >= http.StatusInternalServerError {
		return nil, nil, fmt.Errorf("%s: %s", problem.Title, problem.Detail)
	}
	return answer.body.Bytes(), problem, nil
}

func decode(body []byte, into any) error {
	if err := json.Unmarshal(body, into); err != nil {
		return fmt.Errorf("the answer cannot be read: %w", err)
	}
	return nil
}

// recorder keeps an answer in memory.
type recorder struct {
	status int
	header http.Header
	body   bytes.Buffer
}

// Header is the header of the answer.
func (r *recorder) Header() http.Header { return r.header }

// WriteHeader keeps the status.
func (r *recorder) WriteHeader(status int) { r.status = status }

// Write keeps a part of the body.
func (r *recorder) Write(b []byte) (int, error) { return r.body.Write(b) }

// maxCompletions is how many names a shell is offered.
const maxCompletions = 40

// completions are ids with the name that fits behind a tab, as shells show them.
func completions(s *species.Snapshot, typed string) []string {
	var out []string
	if typed == "" {
		for i := range s.Len() {
			out = append(out, string(s.At(i).ID)+"\t"+s.At(i).VernacularName("en"))
		}
		return out
	}
	for _, c := range s.Search(typed, maxCompletions) {
		out = append(out, string(c.ID)+"\t"+c.Matched)
	}
	return out
}
