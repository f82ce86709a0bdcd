package lookups

import (
	"hash/maphash"
	"net/http"
	"strings"
	"sync/atomic"

	"commensal/api/respond"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
)

// The routes of the lookups that are found by what was asked, as the router names them.
const (
	pairingRoute = "/v1/pairings/:first/:second"
	speciesRoute = "/v1/species/:species"

	pairingPath = "/v1/pairings/"
	speciesPath = "/v1/species/"
)

const (
	// longAsked is how long a request may be whose answer is found by it.
	longAsked = 512
	// remembered is how many requests are remembered as asked once.
	remembered = 1 << 13
)

// asked holds answers by the very text of the request line, for as long as book and reports are those that they were made from. What
// stands in it was answered before, so nothing can be wrong with the request. An answer is held from the second time on that it is
// asked for: whoever asks for every pair once does not drive out what others ask for again.
type asked struct {
	books   respond.Books
	most    int64
	once    [remembered]atomic.Uint32 // by the hash of a request, another part of the hash
	present atomic.Pointer[askedUnder]
}

// askedUnder are the answers of one state of the reports.
type askedUnder struct {
	tallies *evidence.Tallies
	answers *respond.Cache[string]
}

// get is the answer to a request line.
func (a *asked) get(tallies *evidence.Tallies, target string) (*respond.Reply, bool) {
	now := a.present.Load()
	if now == nil || now.tallies != tallies {
		return nil, false
	}
	return now.answers.Get(a.books.Current(), target)
}

var seed = maphash.MakeSeed()

// again reports that a request was asked before, not long ago.
func (a *asked) again(target string) bool {
	h := maphash.String(seed, target)
	mark := uint32(h>>32) | 1
	return a.once[h%remembered].Swap(mark) == mark
}

// put holds an answer that is asked for again.
func (a *asked) put(r *http.Request, book *conflict.Book, tallies *evidence.Tallies, answer *respond.Reply) {
	if a.most <= 0 || len(r.RequestURI) > longAsked || !strings.HasPrefix(r.RequestURI, "/v1/") || !a.again(r.RequestURI) {
		return
	}
	now := a.present.Load()
	if now == nil || now.tallies != tallies {
		now = &askedUnder{tallies, respond.NewCache[string](a.books, a.most)}
		a.present.Store(now) // another one of the same moment is lost, and with it one answer
	}
	now.answers.Put(book, strings.Clone(r.RequestURI), answer.Prepare())
}

func (a *asked) bytes() uint64 {
	if now := a.present.Load(); now != nil {
		return now.answers.Bytes()
	}
	return 0
}

// Find tells the route of a pairing or a species, and its answer where it is kept. It takes what was answered before, and
// pairings of two names of plain letters without a query, with which the contract finds no fault.
func (s *Lookups) Find(r *http.Request) (route string, kept *respond.Reply, ok bool) {
	pairing := strings.HasPrefix(r.RequestURI, pairingPath)
	if !pairing && !strings.HasPrefix(r.RequestURI, speciesPath) {
		return "", nil, false
	}
	route = speciesRoute
	if pairing {
		route = pairingRoute
	}
	if kept, ok = s.asked.get(s.tallies(), r.RequestURI); ok {
		return route, kept, true
	}
	if !pairing || r.URL.RawPath != "" || r.URL.RawQuery != "" || !strings.HasPrefix(r.URL.Path, pairingPath) {
		return "", nil, false
	}
	first, second, ok := strings.Cut(r.URL.Path[len(pairingPath):], "/")
	return route, nil, ok && plainName(first) && plainName(second)
}

// longPlain is less than the contract lets a name be long.
const longPlain = 100

// plainName reports a name that is read as it is.
func plainName(s string) bool {
	if s == "" || len(s) > longPlain {
		return false
	}
	for i := range len(s) {
		if c := s[i] | 0x20; (c < 'a' || c > 'z') && (s[i] < '0' || s[i] > '9') && s[i] != '-' && s[i] != ' ' {
			return false
		}
	}
	return true
}

// Answer answers a pairing that Find took.
func (s *Lookups) Answer(r *http.Request) (*respond.Reply, error) {
	first, second, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, pairingPath), "/")
	return s.pairing(r, first, second, noQuery)
}
