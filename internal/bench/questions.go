package bench

import (
	"fmt"
	"net/http"
	"strings"
	"sync/atomic"

	"commensal/internal/loadtest"
)

// question is one kind of request, in as many variants as it has.
type question struct {
	name     string
	variants int
	request  func(n int) []byte // a variant, as it is sent
	wire     [][]byte           // all of them, while it is asked
	asked    atomic.Int64
	dear     bool   // an answer takes milliseconds
	lists    int    // in one request: 1, of a batch more
	writes   string // what it stores: "", or one of the kinds of statements
}

// prepare makes the variants.
func (q *question) prepare() {
	q.wire = make([][]byte, q.variants)
	for n := range q.wire {
		q.wire[n] = q.request(n)
	}
}

// source gives the variants one after the other, in each run those behind the run before.
func (q *question) source(int64) []byte {
	return q.wire[q.asked.Add(1)%int64(len(q.wire))]
}

// Variants of a question that is to be computed anew each time: more than are asked for while it is measured, so that
// none is answered from a cache.
const (
	variants = 60_000
	pairings = 200_000
)

// subject is what there is to ask about.
type subject struct {
	species []string // ids of the catalogue
	key     string   // that may write
	etag    string   // of the pairing that is asked for again
}

const onePairing = "/v1/pairings/astronotus-ocellatus/paracheirodon-innesi"

// conditions vary in the last digits of a temperature, 24 to 25 °C.
const conditions = "?tank=120x50x50cm&ph=7&temperature_c=24.%06d"

// questions are what is asked most: a pair, a till's list, what could join it, and what is stored of that.
func (s *subject) questions() []*question {
	return []*question{
		asked("pairing, kept", 1, s.get(onePairing)),
		asked("pairing, computed", pairings, s.pairings("")),
		asked("pairing with a query, kept", 1, s.get(onePairing+fmt.Sprintf(conditions, 0))),
		asked("pairing with a query, computed", pairings, s.pairings(conditions)),
		asked("species", 1, s.get("/v1/species/astronotus-ocellatus")),
		asked("pairing, not modified (304)", 1, s.get(onePairing, "If-None-Match: "+s.etag)),
		asked("check of 4 kinds, kept", 1, post("/v1/checks", list(calmFour))),
		asked("check of 4 kinds, computed", variants, post("/v1/checks", list(calmFour))),
		asked("check of 12 kinds, kept", 1, post("/v1/checks", list(calmDozen))),
		dear(asked("check of 12 kinds, computed", variants, post("/v1/checks", list(calmDozen)))),
		dear(asked("check of 12 kinds that do not get on, computed", variants, post("/v1/checks", list(wildDozen)))),
		asked("check of 12 kinds in brief, computed", variants, post("/v1/checks", list(calmDozen, `"detail":"brief"`))),
		dear(batched("batch of 20 checks of 4 kinds", 20, variants/20, list(calmFour))),
		dear(asked("additions to 12 kinds", variants, post("/v1/additions", list(calmDozen)))),
		dear(asked("groupings of 12 kinds", variants, post("/v1/groupings", func(n int) string { return `{"residents":[` + wildCounted(n) + `]}` }))),
		s.written("tank, stored", tankWrites, "/v1/tanks", func(n int) string {
			return `{"label":"` + benchLabel + `","tank":` + tank(n) + `,"residents":[` + benchLine + `]}`
		}),
		s.written("check of 4 kinds, recorded", checkWrites, "/v1/checks", list(calmFour, `"record":true`)),
	}
}

func asked(name string, variants int, request func(n int) []byte) *question {
	return &question{name: name, variants: variants, request: request, lists: 1}
}

func dear(q *question) *question {
	q.dear = true
	return q
}

// batched asks about several lists in one request.
func batched(name string, lists, variants int, body func(n int) string) *question {
	q := asked(name, variants, func(n int) []byte {
		var lines strings.Builder
		for i := range lists {
			lines.WriteString(body(n*lists+i) + "\n")
		}
		return loadtest.RequestOf("POST", "/v1/checks/batch", []byte(lines.String()), "Content-Type: application/x-ndjson")
	})
	q.lists = lists
	return q
}

// get asks for a path, with further lines of the head.
func (s *subject) get(path string, head ...string) func(n int) []byte {
	return func(int) []byte { return loadtest.RequestOf(http.MethodGet, path, nil, head...) }
}

// pairings asks for one pair after the other; a place in the query, where there is one, is filled too.
func (s *subject) pairings(query string) func(n int) []byte {
	count := len(s.species)
	return func(n int) []byte {
		first, apart := n%count, 1+n/count%(count-1)
		path := "/v1/pairings/" + s.species[first] + "/" + s.species[(first+apart)%count] + query
		if query != "" {
			path = fmt.Sprintf(path, n)
		}
		return loadtest.Request(http.MethodGet, path, nil)
	}
}

func post(path string, body func(n int) string) func(n int) []byte {
	return func(n int) []byte { return loadtest.Request(http.MethodPost, path, []byte(body(n))) }
}

// written is a question that stores something.
func (s *subject) written(name, kind, path string, body func(n int) string) *question {
	q := asked(name, variants, func(n int) []byte {
		return loadtest.RequestOf(http.MethodPost, path, []byte(body(n)), "Content-Type: application/json", "Authorization: Bearer "+s.key)
	})
	q.writes = kind
	return q
}

const (
	benchLabel = "Show tank"
	benchKind  = "paracheirodon-innesi"
	benchLine  = `{"species":"` + benchKind + `","count":12}`
)

// tank is a roomy tank; its temperature differs a little by variant.
func tank(n int) string {
	return fmt.Sprintf(`{"size":"250x80x70cm","temperature_c":24.%06d,"ph":6.8,"gh_dh":8,"lid":true,"weekly_change":0.5,"filter_mature":true,"cover":0.7,"substrate":"sand","planted":true}`, n)
}

// list is a list in that tank, with further fields.
func list(kinds string, fields ...string) func(n int) string {
	return func(n int) string {
		return `{` + strings.Join(append(fields, `"tank":`+tank(n), `"residents":[`+kinds+`]`), ",") + `}`
	}
}

var calmFour = kinds("paracheirodon-innesi 20", "hoplisoma-panda 8", "ancistrus-cirrhosus 1", "trichopodus-leerii 3")

var calmDozen = kinds("paracheirodon-innesi 20", "petitella-rhodostoma 15", "hoplisoma-panda 8", "ancistrus-cirrhosus 1", "trichopodus-leerii 3", "pangio-kuhlii 8",
	"thayeria-boehlkei 10", "nematobrycon-palmeri 10", "otocinclus-vittatus 8", "trigonostigma-heteromorpha 15", "hoplisoma-paleatum 8", "mikrogeophagus-altispinosus 2")

var wildDozen = kinds("paracheirodon-innesi 12", "astronotus-ocellatus 1", "betta-splendens 2", "poecilia-reticulata 6", "carassius-auratus 3", "puntigrus-tetrazona 8",
	"amatitlania-nigrofasciata 2", "symphysodon-aequifasciatus 5", "chromobotia-macracanthus 6", "labidochromis-caeruleus 6", "danio-rerio 10", "ancistrus-cirrhosus 1")

// wildCounted is wildDozen with two counts that vary: what is split over tanks has no tank that could.
func wildCounted(n int) string {
	const neons, guppies = `innesi","count":12}`, `reticulata","count":6}`
	return strings.NewReplacer(neons, fmt.Sprintf(`innesi","count":%d}`, 6+n%200), guppies, fmt.Sprintf(`reticulata","count":%d}`, 3+n/200)).Replace(wildDozen)
}

// kinds are lines of a list, each an id and a count.
func kinds(lines ...string) string {
	for i, l := range lines {
		id, count, _ := strings.Cut(l, " ")
		lines[i] = `{"species":"` + id + `","count":` + count + `}`
	}
	return strings.Join(lines, ",")
}
