package bench

import (
	"fmt"
	"io"
	"net/http"
	"strings"

	"commensal/internal/loadtest"
)

// question is one kind of request, in as many variants as it has.
type question struct {
	name   string
	method string
	path   string
	bodies [][]byte
	wire   [][]byte // the variants as they are sent
	kept   bool     // answers are kept, as they are in service
}

// variants of a question that is to be computed anew each time.
const variants = 64

// questions are what the users ask most: a pair, a till's list, what could join it.
func questions() []*question {
	return []*question{
		lookup("a pairing asked before", true),
		lookup("a pairing computed anew", false),
		posted("a check of 12 kinds asked before", "/v1/checks", true, calmDozen),
		posted("a check of 12 kinds that get on", "/v1/checks", false, calmDozen),
		posted("a check of 12 kinds that do not", "/v1/checks", false, wildDozen),
		posted("what could join 12 kinds", "/v1/additions", false, calmDozen),
		posted("12 kinds split over tanks", "/v1/groupings", false, func(int) string { return `{"residents":[` + wildKinds + `]}` }),
	}
}

func lookup(name string, kept bool) *question {
	q := &question{name: name, method: http.MethodGet, path: "/v1/pairings/astronotus-ocellatus/paracheirodon-innesi", kept: kept}
	q.wire = [][]byte{loadtest.Request(q.method, q.path, nil)}
	return q
}

func posted(name, path string, kept bool, body func(n int) string) *question {
	q := &question{name: name, method: http.MethodPost, path: path, kept: kept}
	for n := range variants {
		q.bodies = append(q.bodies, []byte(body(n)))
		q.wire = append(q.wire, loadtest.Request(q.method, path, q.bodies[n]))
	}
	return q
}

// requests is the source of the question's variants, one after the other.
func (q *question) requests(n int64) []byte { return q.wire[n%int64(len(q.wire))] }

// body is the body of a variant; nil where there is none.
func (q *question) body(n int) []byte {
	if q.bodies == nil {
		return nil
	}
	return q.bodies[n]
}

// roomyTank is a tank for the benchmarks; its temperature differs a little by variant.
func roomyTank(n int) string {
	return fmt.Sprintf(`{"size":"250x80x70cm","temperature_c":%g,"ph":6.8,"gh_dh":8,"lid":true,"weekly_change":0.5,"filter_mature":true,"cover":0.7,"substrate":"sand","planted":true}`,
		24+float64(n%variants)/variants)
}

var calmKinds = kinds("paracheirodon-innesi 20", "petitella-rhodostoma 15", "hoplisoma-panda 8", "ancistrus-cirrhosus 1", "trichopodus-leerii 3", "pangio-kuhlii 8",
	"thayeria-boehlkei 10", "nematobrycon-palmeri 10", "otocinclus-vittatus 8", "trigonostigma-heteromorpha 15", "hoplisoma-paleatum 8", "mikrogeophagus-altispinosus 2")

var wildKinds = kinds("astronotus-ocellatus 1", "paracheirodon-innesi 12", "betta-splendens 2", "poecilia-reticulata 6", "carassius-auratus 3", "puntigrus-tetrazona 8",
	"amatitlania-nigrofasciata 2", "symphysodon-aequifasciatus 5", "chromobotia-macracanthus 6", "labidochromis-caeruleus 6", "danio-rerio 10", "ancistrus-cirrhosus 1")

// kinds are lines of a list, each an id and a count.
func kinds(lines ...string) string {
	for i, l := range lines {
		id, count, _ := strings.Cut(l, " ")
		lines[i] = `{"species":"` + id + `","count":` + count + `}`
	}
	return strings.Join(lines, ",")
}

func calmDozen(n int) string { return `{"tank":` + roomyTank(n) + `,"residents":[` + calmKinds + `]}` }
func wildDozen(n int) string { return `{"tank":` + roomyTank(n) + `,"residents":[` + wildKinds + `]}` }

// Write writes the figures as a table.
func Write(w io.Writer, all []Figures, o Options) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%-34s %8s %10s %10s %6s %9s %9s\n", "question", "bytes", "answers/s", "bare/s", "ratio", "half ms", "p99 ms")
	for _, f := range all {
		fmt.Fprintf(&b, "%-34s %8d %10.0f %10.0f %6.2f %9.2f %9.2f\n", f.Question, f.Bytes, f.PerSecond, f.Bare, f.Ratio, f.HalfMS, f.P99MS)
	}
	fmt.Fprintf(&b, "\n%d connections. ratio: answers to those of a bare echo server with as many bytes.\n"+
		"half, p99: times at %.0f %% of the answers a second found, counted from when each was due.\n", o.Connections, 100*loadShare)
	_, err := io.WriteString(w, b.String())
	return err
}
