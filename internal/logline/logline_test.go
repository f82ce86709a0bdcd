package logline_test

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"math"
	"strings"
	"sync"
	"testing"
	"time"

	"commensal/internal/logline"
)

func mask(s string) string { return strings.ReplaceAll(s, "secret", "(hidden)") }

func masked(_ []string, a slog.Attr) slog.Attr {
	if a.Value.Kind() == slog.KindString {
		a.Value = slog.StringValue(mask(a.Value.String()))
	}
	return a
}

var options = &slog.HandlerOptions{Level: slog.LevelInfo, ReplaceAttr: masked}

// locked is what a log may be written to.
type locked struct {
	mu     sync.Mutex
	b      bytes.Buffer
	writes int
}

func (l *locked) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.writes++
	return l.b.Write(p)
}

func (l *locked) state() (text string, writes int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String(), l.writes
}

func TestLinesAreThoseOfTheStandardHandler(t *testing.T) {
	t.Parallel()
	at := time.Date(2026, 11, 30, 17, 4, 5, 120_000_000, time.FixedZone("", 3600))
	values := []any{"plain", "", "with \"quotes\"", `back\slash`, "Ein Körper", "<&>", "tab\t", "\x7f", "a secret", "\xff", 0, -12, int64(math.MaxInt64), uint64(7), true, false,
		0.0, 1.5, -0.25, 1e-7, 1e21, 123456789.125, math.Inf(1), time.Second, at, errors.New("broken"), nil, []int{1}, slog.GroupValue(slog.Int("x", 1)), struct{ A int }{2}}
	for _, level := range []slog.Level{slog.LevelDebug, slog.LevelInfo, slog.LevelInfo + 1, slog.LevelWarn, slog.LevelError} {
		for _, when := range []time.Time{at, {}, at.UTC(), time.Now()} {
			for _, message := range []string{"request", "with \"quotes\"", ""} {
				for i, v := range values {
					r := slog.NewRecord(when, level, message, 0)
					r.AddAttrs(slog.String("method", "GET"), slog.Any("value", v), slog.Any("next", values[(i+1)%len(values)]), slog.Int("n", i))
					var want, got bytes.Buffer
					standard := slog.NewJSONHandler(&want, options)
					w := logline.NewWriter(&got)
					ours := w.Seldom(options, mask)
					if standard.Enabled(context.Background(), level) != ours.Enabled(context.Background(), level) {
						t.Fatalf("%s is enabled for one only", level)
					}
					if err := errors.Join(standard.Handle(context.Background(), r), ours.Handle(context.Background(), r), w.Flush()); err != nil {
						t.Fatal(err)
					}
					if got.String() != want.String() {
						t.Errorf("got  %swant %s", got.String(), want.String())
					}
				}
			}
		}
	}
}

func TestAddedAttributesAndGroupsAreKept(t *testing.T) {
	t.Parallel()
	var got locked
	w := logline.NewWriter(&got)
	slog.New(w.Seldom(options, mask)).With("room", "a secret").WithGroup("g").Info("x", "y", 1)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	if text, _ := got.state(); !strings.Contains(text, `"room":"a (hidden)","g":{"y":1}`) {
		t.Error(text)
	}
}

func TestLinesStayInOrderAndNothingIsLost(t *testing.T) {
	t.Parallel()
	var out locked
	w := logline.NewWriter(&out)
	held, atOnce := slog.New(w.Seldom(options, mask)), slog.New(slog.NewJSONHandler(w, options))
	held.Info("first")
	held.Info("second")
	if text, _ := out.state(); text != "" {
		t.Errorf("nobody waited, and there is %s", text)
	}
	atOnce.Info("third")
	held.Info("fourth")
	held.Error("fifth")
	text, writes := out.state()
	last := -1
	for _, message := range []string{"first", "second", "third", "fourth", "fifth"} {
		at := strings.Index(text, `"msg":"`+message+`"`)
		if at <= last {
			t.Errorf("%s is not in its place: %s", message, text)
		}
		last = at
	}
	if writes != 3 {
		t.Errorf("%d writes", writes)
	}
}

func TestManyLinesAreFewWritesAndAllOfThem(t *testing.T) {
	t.Parallel()
	var out locked
	w := logline.NewWriter(&out)
	log := slog.New(w.Seldom(options, mask))
	var wg sync.WaitGroup
	const goroutines, each = 4, 1000
	for range goroutines {
		wg.Go(func() {
			for i := range each {
				log.Info("request", "n", i)
			}
		})
	}
	wg.Wait()
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	text, writes := out.state()
	if n := strings.Count(text, "}\n"); n != goroutines*each {
		t.Errorf("%d lines", n)
	}
	if most := len(text)/logline.Room + 20; writes > most {
		t.Errorf("%d writes of %d bytes", writes, len(text))
	}
}

func TestAHeldLineIsWrittenByItself(t *testing.T) {
	t.Parallel()
	var out locked
	log := slog.New(logline.NewWriter(&out).Seldom(options, mask))
	for _, message := range []string{"first", "second"} {
		log.Info(message)
		for end := time.Now().Add(time.Minute); ; time.Sleep(logline.Held / 10) {
			if text, _ := out.state(); strings.Contains(text, message) {
				break
			}
			if time.Now().After(end) {
				t.Fatalf("%s is still held", message)
			}
		}
	}
}

func TestASimpleLineAllocatesNothing(t *testing.T) {
	var out bytes.Buffer
	out.Grow(1 << 20)
	h := logline.NewWriter(&out).Seldom(options, mask)
	r := slog.NewRecord(time.Now(), slog.LevelInfo, "request", 0)
	r.AddAttrs(slog.String("method", "GET"), slog.Int("status", 200), slog.Float64("ms", 0.125), slog.Bool("written", false))
	if n := testing.AllocsPerRun(200, func() { _ = h.Handle(context.Background(), r) }); n > 1 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkLine(b *testing.B) {
	attrs := []slog.Attr{slog.String("method", "GET"), slog.String("route", "/v1/pairings/:first/:second"), slog.String("path", "/v1/pairings/oscar/neon tetra"),
		slog.Int("status", 200), slog.Int("bytes", 4164), slog.Float64("ms", 0.04), slog.String("request_id", strings.Repeat("a", 32))}
	for name, h := range map[string]slog.Handler{"standard": slog.NewJSONHandler(discard{}, options), "held": logline.NewWriter(discard{}).Seldom(options, mask)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r := slog.NewRecord(time.Now(), slog.LevelInfo, "request", 0)
				r.AddAttrs(attrs...)
				_ = h.Handle(context.Background(), r)
			}
		})
	}
}

type discard struct{}

func (discard) Write(p []byte) (int, error) { return len(p), nil }
