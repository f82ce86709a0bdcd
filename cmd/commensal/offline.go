package main

import (
	"errors"
	"net/http"
	"net/url"
	"runtime/debug"
	"strings"
	"sync"

	"commensal/api"
	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/localcli"
)

// offline is the API over the built-in catalogue, without network or database.
type offline struct {
	book   *conflict.Book
	server *api.Server
}

// openOffline reads the catalogue and, beside it, compiles the contract: somebody is
// waiting at a counter.
func openOffline() (*offline, error) {
	// The program ends before a collection of garbage would pay.
	debug.SetGCPercent(shortLivedGC)
	o := &offline{}
	var work sync.WaitGroup
	var serverErr error
	work.Go(func() {
		o.server, serverErr = api.New(api.Config{
			Book:    func() *conflict.Book { return o.book },
			Version: programVersion(), CacheBytes: -1, WithoutPages: true, // one question, one answer
		})
	})
	book, err := builtInBook()
	work.Wait()
	o.book = book
	return o, errors.Join(err, serverErr)
}

// shortLivedGC lets the heap grow to several times its size first: some 40 MB.
const shortLivedGC = 800

// pairing puts one question about a pair to the API's handler.
func (o *offline) pairing(first, second string, query url.Values) (body []byte, problem *gen.Problem, err error) {
	for _, name := range []string{first, second} {
		if strings.TrimSpace(name) == "" {
			return nil, nil, usagef("a name is empty")
		}
	}
	path := "/v1/pairings/" + url.PathEscape(first) + "/" + url.PathEscape(second)
	return localcli.Question(o.server.Handler(), http.MethodGet, path+"?"+query.Encode(), nil)
}

// species asks the API's handler for an entry.
func (o *offline) species(name string) (body []byte, problem *gen.Problem, err error) {
	if strings.TrimSpace(name) == "" {
		return nil, nil, usagef("the name is empty")
	}
	return localcli.Question(o.server.Handler(), http.MethodGet, "/v1/species/"+url.PathEscape(name), nil)
}

// search asks the API's handler for the kinds of the catalogue that are like something.
func (o *offline) search(query url.Values) (body []byte, problem *gen.Problem, err error) {
	return localcli.Question(o.server.Handler(), http.MethodGet, "/v1/species?"+query.Encode(), nil)
}

// care asks the API's handler for a care sheet.
func (o *offline) care(name string, query url.Values) (body []byte, problem *gen.Problem, err error) {
	if strings.TrimSpace(name) == "" {
		return nil, nil, usagef("the name is empty")
	}
	return localcli.Question(o.server.Handler(), http.MethodGet, "/v1/species/"+url.PathEscape(name)+"/care?"+query.Encode(), nil)
}

// list puts one question about a list to the API's handler.
func (o *offline) list(path string, body []byte) (answer []byte, problem *gen.Problem, err error) {
	return localcli.Question(o.server.Handler(), http.MethodPost, path, body)
}
