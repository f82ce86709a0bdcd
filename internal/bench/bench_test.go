package bench

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/internal/loadtest"
)

// No two requests that are to be computed are alike, and all of a question are of one kind.
func TestTheVariantsOfAQuestionDiffer(t *testing.T) {
	s := &subject{key: "k", etag: `"e"`}
	for i := range 939 {
		s.species = append(s.species, "kind-"+strings.Repeat("x", i%7)+string(rune('a'+i%26))+string(rune('a'+i/26%26))+string(rune('a'+i/676)))
	}
	for _, q := range s.questions() {
		q.prepare()
		seen := make(map[string]bool, len(q.wire))
		for _, request := range q.wire {
			seen[string(request)] = true
		}
		if len(seen) != q.variants || strings.HasSuffix(q.name, "kept") && q.variants > 1 || strings.HasSuffix(q.name, "computed") && q.variants < variants {
			t.Errorf("%s: %d of %d variants differ", q.name, len(seen), q.variants)
		}
		r, err := http.ReadRequest(bufio.NewReader(bytes.NewReader(q.wire[len(q.wire)-1])))
		if err != nil {
			t.Errorf("%s: %v", q.name, err)
			continue
		}
		body, err := io.ReadAll(r.Body)
		for line := range bytes.Lines(body) {
			if !json.Valid(line) {
				t.Errorf("%s: %s", q.name, line)
			}
		}
		if lines := bytes.Count(body, []byte("\n")); err != nil || q.lists > 1 && lines != q.lists {
			t.Errorf("%s: %d lines, %v", q.name, lines, err)
		}
		q.wire = nil
	}
}

// A run goes on behind the one before, so that it does not ask what has been answered.
func TestRunsDoNotRepeatWhatWasAsked(t *testing.T) {
	q := asked("q", 3, func(n int) []byte { return []byte{byte(n)} })
	q.prepare()
	seen := map[byte]int{}
	for range 3 {
		seen[q.source(0)[0]]++
	}
	if len(seen) != 3 {
		t.Errorf("%v", seen)
	}
}

func TestTheRatioIsTheMedianOfNeighbouringRuns(t *testing.T) {
	second := func(ours, bare int64) [2]pace {
		return [2]pace{{Count: ours, Elapsed: time.Second, cpu: time.Second / 2}, {Count: bare, Elapsed: time.Second, cpu: time.Second / 4}}
	}
	runs := [][2]pace{second(50, 100), second(5, 10), second(90, 100)}
	if ours, bare, ratio := summed(runs); ours != 50 || bare != 100 || ratio != 0.5 {
		t.Errorf("%v of %v: %v", ours, bare, ratio)
	}
	// 210 answers cost a bare side 0.75 s, 145 cost ours 1.5 s.
	if r := cpuRatio(runs); r == nil || *r < 0.345 || *r > 0.3453 {
		t.Errorf("of CPU: %v", r)
	}
	if r := cpuRatio([][2]pace{{{Count: 1}, {Count: 1}}}); r != nil {
		t.Errorf("of no time: %v", *r)
	}
}

func TestMetricsAreReadOrMissed(t *testing.T) {
	var a, b float64
	const text = "# HELP a A.\na 1.5e3\nab 7\nb{x=\"1\"} 3\nb 2\n"
	if err := readMetrics(strings.NewReader(text), map[string]*float64{"a": &a, "b": &b}); err != nil || a != 1500 || b != 2 {
		t.Errorf("%v %v %v", a, b, err)
	}
	for _, wanted := range []string{"c", "HELP"} {
		if err := readMetrics(strings.NewReader(text), map[string]*float64{"a": &a, wanted: &b}); err == nil {
			t.Errorf("%s was found", wanted)
		}
	}
}

// The bare side gives its ready answer until its input ends.
func TestTheBareSideGivesWhatItWasTold(t *testing.T) {
	in, tell := io.Pipe()
	out, said := io.Pipe()
	ended := make(chan error, 1)
	go func() { ended <- ServeBare(context.Background(), in, said) }()
	line, err := json.Marshal(readyAnswer{Status: http.StatusCreated, Type: "application/json", ETag: `"1"`, Body: []byte(`{"a":1}`)})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tell.Write(append(line, '\n')); err != nil {
		t.Fatal(err)
	}
	addr, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	b := &bench{served: &served{addr: strings.TrimSpace(addr)}}
	a, err := b.answer(loadtest.Request("POST", "/any/where", []byte("{}")))
	if err != nil || a.Status != http.StatusCreated || string(a.Body) != `{"a":1}` || a.ETag != `"1"` || a.Type != "application/json" {
		t.Errorf("%+v, %v", a, err)
	}
	if err := errors.Join(tell.Close(), <-ended); err != nil {
		t.Error(err)
	}
	if err := ServeBare(context.Background(), strings.NewReader("no answer\n"), io.Discard); err == nil {
		t.Error("an answer that is none is no error")
	}
}

func TestAColumnWithoutFiguresIsLeftOut(t *testing.T) {
	ratio := 0.04
	r := &Report{Client: OwnClient, Connections: 2, Seconds: 1, Figures: []Figures{{Question: "a", Ratio: 0.5, CPURatio: &ratio}, {Question: "b", Ratio: 0.25}}}
	text := r.markdown()
	for _, want := range []string{"| question | bytes |", "| a | 0 | 0 | 0 | 0.50 | 0.040 |", "| b | 0 | 0 | 0 | 0.25 |  |", "Nothing is pinned"} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
	if strings.Contains(text, "bare p99 ms |") || strings.Contains(text, "busy |") {
		t.Errorf("the bare side had no pace:\n%s", text)
	}
	r.Figures[0].BareP99MS, r.Figures[0].Busy = new(1.25), new(0.875)
	if text := r.markdown(); !strings.Contains(text, "| busy | bare p99 ms |") || !strings.Contains(text, "| 88 % | 1.25 |") {
		t.Errorf("the bare side's times are missing:\n%s", text)
	}
	if strings.Contains(text, "wrk") {
		t.Errorf("nobody asked through wrk:\n%s", text)
	}
}
