package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"strconv"
	"strings"
	"time"

	"commensal/internal/loadtest"
)

const (
	// asksAtOnce is how many clients ask at random, one thing after the other.
	asksAtOnce = 4
	// lookEvery is how often the service's memory is looked at.
	lookEvery = time.Second
	// randomSeed makes two runs ask the same.
	randomSeed = 11
)

// remember asks at random for a time and tells what the service has in memory.
func (o *options) remember(ctx context.Context, w io.Writer, ids []string) error {
	rest, err := resident(o.process)
	if err != nil {
		return err
	}
	r := rand.New(rand.NewPCG(randomSeed, randomSeed))
	asked := make(chan error, 1)
	var result loadtest.Overloaded
	go func() {
		var err error
		result, err = on(ctx, o.addr, asksAtOnce, func(t *loadtest.Target) (loadtest.Overloaded, error) {
			return t.Overload(ctx, func(int64) []byte { return anything(r, ids) }, 1e6, o.memory)
		})
		asked <- err
	}()
	most := rest
	for tick := time.NewTicker(lookEvery); ; {
		select {
		case <-tick.C:
			now, err := resident(o.process)
			if err != nil {
				return err
			}
			most = max(most, now)
			continue
		case err = <-asked:
			tick.Stop()
		}
		break
	}
	if err != nil {
		return err
	}
	last, err := resident(o.process)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "%d lookups and checks at random in %v, %d refused: resident %d MiB before, %d MiB at the most, %d MiB at the end\n",
		result.Served.Count()+result.Refused.Count(), o.memory, result.Refused.Count(), rest>>20, max(most, last)>>20, last>>20)
	return nil
}

// anything is a lookup, in one of five cases a check: of a few lines mostly, and seldom of many.
func anything(r *rand.Rand, ids []string) []byte {
	one := func() string { return url.PathEscape(ids[r.IntN(len(ids))]) }
	get := func(path string) []byte { return loadtest.Request(http.MethodGet, path, nil) }
	switch r.IntN(10) {
	case 0:
		return get("/v1/species/" + one())
	case 1:
		return get("/v1/species/" + one() + "/pairings?limit=" + strconv.Itoa(1+r.IntN(200)))
	case 2:
		return get("/v1/species?q=" + one()[:3] + "&limit=20")
	case 3:
		return get("/v1/pairings/" + one() + "/" + one() + "?temperature_c=" + strconv.Itoa(20+r.IntN(10)))
	case 4, 5:
		return check(fmt.Sprintf("%dx%dx%dcm", 40+r.IntN(300), 30+r.IntN(60), 30+r.IntN(60)), some(r, ids))
	}
	return get("/v1/pairings/" + one() + "/" + one())
}

// some are the lines of a list: 1 to 12 of them, or one list in fifty up to 200.
func some(r *rand.Rand, ids []string) []line {
	n := 1 + r.IntN(12)
	if r.IntN(50) == 0 {
		n = 1 + r.IntN(200)
	}
	list := make([]line, n)
	for i := range list {
		list[i] = line{ids[r.IntN(len(ids))], 1 + r.Int64N(30)}
	}
	return list
}

// resident is what a process has in memory, in bytes.
func resident(process int) (int64, error) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", process))
	if err != nil {
		return 0, err
	}
	_, after, found := strings.Cut(string(text), "VmRSS:")
	number, _, unit := strings.Cut(strings.TrimSpace(after), " kB")
	kb, err := strconv.ParseInt(number, 10, 64)
	if !found || !unit || err != nil {
		return 0, errors.New("the system does not say what a process has in memory")
	}
	return kb << 10, nil
}
