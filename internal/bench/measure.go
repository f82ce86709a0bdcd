package bench

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"path"
	"time"

	"commensal/internal/loadtest"
	"commensal/internal/store/bare"

	"github.com/google/uuid"
)

const (
	// loadShare is the share of the greatest pace at which times are measured.
	loadShare = 0.8
	// rounds is how often the two sides take turns.
	rounds = 5
)

// Figures are what one question came to.
type Figures struct {
	Question  string   `json:"question"`
	Bytes     int      `json:"bytes"`
	Lists     int      `json:"lists"`
	PerSecond float64  `json:"answers_per_second"`
	Bare      float64  `json:"bare_per_second"`
	Ratio     float64  `json:"ratio"`
	CPURatio  *float64 `json:"cpu_ratio,omitempty"`        // where the system says what a process uses; of writes with PostgreSQL
	WrkRatio  *float64 `json:"ratio_by_wrk,omitempty"`     // where both clients asked
	WrkCPU    *float64 `json:"cpu_ratio_by_wrk,omitempty"` // the same
	CPU       float64  `json:"cpu_seconds_per_1000"`
	Objects   float64  `json:"allocations_per_answer"`
	Allocated float64  `json:"allocated_bytes_per_answer"`
	HalfMS    float64  `json:"half_within_ms"`
	P99MS     float64  `json:"p99_within_ms"`
	Busy      *float64 `json:"busy,omitempty"`               // share of a processor that the service's process had meanwhile
	BareP99MS *float64 `json:"bare_p99_within_ms,omitempty"` // of the echo handler at the same share of its own pace
	Refused   float64  `json:"refused"`                      // share of those asked for at that pace, because the service was behind
	BareIs    string   `json:"bare_is"`
}

// What the bare side is.
const (
	bareEcho       = "echo handler"
	bareStatements = "pgx statements"
)

// side is one of those that take turns.
type side interface {
	run(ctx context.Context, d time.Duration) (pace, error)
}

// timed is a side with what those have used up that do its work.
type timed struct {
	side
	used func() time.Duration
}

// run adds what was used up.
func (t timed) run(ctx context.Context, d time.Duration) (pace, error) {
	before := t.used()
	p, err := t.side.run(ctx, d)
	p.cpu = t.used() - before
	return p, err
}

// ofProcess is what a process uses up.
func ofProcess(c *child) func() time.Duration {
	return func() time.Duration {
		used, _ := loadtest.CPU(c.cmd.Process.Pid)
		return used
	}
}

// ofWrites is what a write takes altogether, on either side: the service or the bare writer, of which one has nothing
// to do, and PostgreSQL.
func (b *bench) ofWrites(c *child) func() time.Duration {
	return func() time.Duration {
		used, _ := loadtest.CPU(c.cmd.Process.Pid)
		with, _ := loadtest.CPUOfTree(b.served.cmd.Process.Pid)
		return used + with
	}
}

// ownSide is asked by our own client.
type ownSide struct {
	*loadtest.Target
	from loadtest.Source
}

func (s ownSide) run(ctx context.Context, d time.Duration) (pace, error) {
	r, err := s.Rush(ctx, s.from, d)
	return pace{Count: int64(r.Count()), Elapsed: r.Elapsed}, err
}

// wrkSide is asked by wrk.
type wrkSide struct {
	b          *bench
	q          *question
	addr, file string
}

func (s wrkSide) run(ctx context.Context, d time.Duration) (p pace, err error) {
	count, perSecond, err := s.b.wrk.Rush(ctx, s.addr, s.file, s.q.asked.Load(), s.b.connections(s.q), d)
	if err != nil {
		return p, err
	}
	s.q.asked.Add(count + int64(s.b.connections(s.q)) + 1) // those under way at the end, and the one looked at
	return pace{Count: count, Elapsed: time.Duration(float64(count) / perSecond * float64(time.Second))}, nil
}

// statementSide is a bare writer.
type statementSide struct{ *child }

func (s statementSide) run(_ context.Context, d time.Duration) (p pace, err error) {
	if err := s.tell(d); err != nil {
		return p, err
	}
	line, err := s.hear()
	if err != nil {
		return p, err
	}
	return p, json.Unmarshal([]byte(line), &p)
}

// measure asks one question in rounds with the bare side, then at a steady pace.
func (b *bench) measure(ctx context.Context, q *question, client string) (f Figures, err error) {
	q.prepare()
	defer func() { q.wire = nil }()
	stop := b.forgetLog()
	defer stop()
	ready, err := b.answer(q.wire[0])
	if err != nil {
		return f, err
	}
	f = Figures{Question: q.name, Bytes: len(ready.Body), Lists: q.lists, BareIs: bareEcho}
	ours, err := loadtest.Dial(ctx, b.served.addr, b.connections(q))
	if err != nil {
		return f, err
	}
	defer func() { err = errors.Join(err, ours.Close()) }()
	pairs, end, err := b.sides(ctx, q, client, ready, ours)
	defer func() { err = errors.Join(err, end()) }()
	if err != nil {
		return f, err
	}
	if q.writes != "" {
		f.BareIs = bareStatements
	}
	if err := b.rounds(ctx, pairs, &f); err != nil {
		return f, err
	}
	return f, b.steady(ctx, q, ours, pairs, &f)
}

// steady asks both sides at a share of the pace that each has: the bare one tells what of the slowest answers is the machine's doing, and
// the share's.
func (b *bench) steady(ctx context.Context, q *question, ours *loadtest.Target, pairs [][2]timed, f *Figures) error {
	before, known := loadtest.CPU(b.served.cmd.Process.Pid)
	r, err := ours.PaceServed(ctx, q.source, loadShare*f.PerSecond, b.time(1))
	if err != nil {
		return err
	}
	if after, ok := loadtest.CPU(b.served.cmd.Process.Pid); known && ok {
		f.Busy = new((after - before).Seconds() / r.Served.Elapsed.Seconds())
	}
	f.HalfMS, f.P99MS = milliseconds(r.Served.Quantile(0.5)), milliseconds(r.Served.Quantile(0.99))
	f.Refused = 1 - r.Share()
	echo, ok := pairs[0][1].side.(ownSide)
	if !ok {
		return nil
	}
	bare, err := echo.Pace(ctx, q.source, loadShare*f.Bare, b.time(1))
	f.BareP99MS = new(milliseconds(bare.Quantile(0.99)))
	return err
}

// dearConnections keep a processor busy that takes milliseconds for an answer; more would only wait, and be refused.
const dearConnections = 4

func (b *bench) connections(q *question) int {
	if q.dear {
		return min(b.Connections, dearConnections)
	}
	return b.Connections
}

// time is a share of the time for a question.
func (b *bench) time(share float64) time.Duration {
	return time.Duration(share * b.Seconds * float64(time.Second))
}

func milliseconds(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// forgetLog keeps the service's log short, until it is stopped.
func (b *bench) forgetLog() (stop func()) {
	tick, done := time.NewTicker(time.Second), make(chan struct{})
	go func() {
		for {
			select {
			case <-tick.C:
				_ = b.served.forget()
			case <-done:
				return
			}
		}
	}()
	return func() { tick.Stop(); close(done) }
}

// sides are the pairs, ours and bare, that take turns: one for each client. end gives back what they hold.
func (b *bench) sides(ctx context.Context, q *question, client string, ready *readyAnswer, ours *loadtest.Target) (pairs [][2]timed, end func() error, err error) {
	bareSide, addr, end, err := b.bareSide(ctx, q, ready)
	if err != nil {
		return nil, end, err
	}
	service := ofProcess(b.served.child)
	if q.writes != "" {
		service = bareSide.used
	}
	if client == OwnClient || b.Compare {
		pairs = append(pairs, [2]timed{{ownSide{ours, q.source}, service}, bareSide})
	}
	if client == WrkClient || b.Compare {
		file, err := b.wrk.Prepare(q.wire)
		if err != nil {
			return nil, end, err
		}
		pair := [2]timed{{wrkSide{b, q, b.served.addr, file}, service}, bareSide}
		if addr != "" {
			pair[1].side = wrkSide{b, q, addr, file}
		}
		pairs = append(pairs, pair)
	}
	return pairs, end, nil
}

// bareSide starts the bare side. addr is where it listens, where it does.
func (b *bench) bareSide(ctx context.Context, q *question, ready *readyAnswer) (s timed, addr string, end func() error, err error) {
	end = func() error { return nil }
	var first any = ready
	what := "bare"
	if q.writes != "" {
		what = "bare-writes"
		if first, err = b.writeJob(ctx, q, ready); err != nil {
			return s, "", end, err
		}
	}
	c, err := b.start(nil, "bench", what)
	if err != nil {
		return s, "", end, err
	}
	end = c.end
	if err := c.tell(first); err != nil || q.writes != "" {
		return timed{statementSide{c}, b.ofWrites(c)}, "", end, err
	}
	if addr, err = c.hear(); err != nil {
		return s, "", end, err
	}
	target, err := loadtest.Dial(ctx, addr, b.connections(q))
	if err != nil {
		return s, "", end, err
	}
	return timed{ownSide{target, q.source}, ofProcess(c)}, addr, func() error { return errors.Join(target.Close(), c.end()) }, nil
}

// writeJob is what the bare side stores: the same as the service has stored.
func (b *bench) writeJob(ctx context.Context, q *question, ready *readyAnswer) (*writeJob, error) {
	job := &writeJob{DSN: b.access.Service, Organization: b.organization, Kind: q.writes, Workers: b.Connections}
	if q.writes == tankWrites {
		job.Tank = bare.Tank{Label: benchLabel, Description: json.RawMessage(tank(0)), Species: benchKind, Line: json.RawMessage(benchLine)}
		return job, nil
	}
	id, err := uuid.Parse(path.Base(ready.location))
	if err != nil {
		return nil, err
	}
	c, err := b.recorded(ctx, id)
	job.Check = bare.Check{Key: c.Key, Decision: c.Decision, Summary: c.Summary, Revision: c.Revision, Model: c.Model, Program: c.Program,
		Input: c.Input, Answer: c.Answer}
	return job, err
}

// rounds lets all sides take turns, and fills in what that came to.
func (b *bench) rounds(ctx context.Context, pairs [][2]timed, f *Figures) error {
	for _, pair := range pairs {
		for _, s := range pair {
			if _, err := s.run(ctx, b.time(1./rounds)); err != nil { // to warm up
				return err
			}
		}
	}
	before, err := b.served.usage(ctx)
	if err != nil {
		return err
	}
	paces := make([][][2]pace, len(pairs))
	var answers int64
	for range rounds {
		for i, pair := range pairs {
			var both [2]pace
			for j, s := range pair {
				if both[j], err = s.run(ctx, b.time(1./rounds)); err != nil {
					return err
				}
			}
			answers += both[0].Count
			paces[i] = append(paces[i], both)
		}
	}
	after, err := b.served.usage(ctx)
	if err != nil {
		return err
	}
	f.PerSecond, f.Bare, f.Ratio = summed(paces[0])
	f.CPURatio = cpuRatio(paces[0])
	if len(paces) > 1 {
		_, _, ratio := summed(paces[1])
		f.WrkRatio, f.WrkCPU = &ratio, cpuRatio(paces[1])
	}
	n := float64(answers)
	f.CPU, f.Objects, f.Allocated = 1000*(after.cpu-before.cpu)/n, (after.objects-before.objects)/n, (after.bytes-before.bytes)/n
	return nil
}

// summed are the medians of the rounds; the ratio is that of the rounds' ratios.
func summed(rounds [][2]pace) (ours, bare, ratio float64) {
	var all [3][]float64
	for _, r := range rounds {
		o, b := r[0].perSecond(), r[1].perSecond()
		all[0], all[1], all[2] = append(all[0], o), append(all[1], b), append(all[2], o/b)
	}
	return loadtest.Median(all[0]), loadtest.Median(all[1]), loadtest.Median(all[2])
}

// cpuRatio is the ratio of what answers cost the two sides, which does not depend on what else the machine does. It
// is nil where the system does not say.
func cpuRatio(rounds [][2]pace) *float64 {
	var of [2]pace
	for _, r := range rounds {
		for i := range of {
			of[i].Count, of[i].cpu = of[i].Count+r[i].Count, of[i].cpu+r[i].cpu
		}
	}
	if of[0].cpu == 0 || of[1].cpu == 0 {
		return nil
	}
	ratio := of[1].cpu.Seconds() / float64(of[1].Count) / (of[0].cpu.Seconds() / float64(of[0].Count))
	return &ratio
}

// answer asks the service once, and reads the answer.
func (b *bench) answer(request []byte) (*readyAnswer, error) {
	conn, err := net.Dial("tcp", b.served.addr)
	if err != nil {
		return nil, err
	}
	defer conn.Close()
	if _, err := conn.Write(request); err != nil {
		return nil, err
	}
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err == nil && answer.StatusCode >= http.StatusBadRequest {
		err = fmt.Errorf("the answer is %d: %.500s", answer.StatusCode, body)
	}
	h := answer.Header
	return &readyAnswer{Status: answer.StatusCode, Type: h.Get("Content-Type"), ETag: h.Get("ETag"), Body: body, location: h.Get("Location")}, err
}

// listSpecies lists the ids of the catalogue.
func (b *bench) listSpecies() (ids []string, err error) {
	var page struct {
		Species []struct{ ID string }
		Next    *string
	}
	for after := ""; ; after = "&cursor=" + url.QueryEscape(*page.Next) {
		answer, err := b.answer(loadtest.Request(http.MethodGet, "/v1/species?limit=200"+after, nil))
		if err != nil {
			return nil, err
		}
		page.Next = nil
		if err := json.Unmarshal(answer.Body, &page); err != nil {
			return nil, err
		}
		for _, s := range page.Species {
			ids = append(ids, s.ID)
		}
		if page.Next == nil {
			return ids, nil
		}
	}
}
