package bench

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"io"
	"sync"
	"sync/atomic"
	"time"

	"commensal/internal/store/bare"

	"github.com/google/uuid"
)

// What statements store.
const (
	tankWrites  = "tanks"
	checkWrites = "checks"
)

// bareConnections are as many as the service has.
const bareConnections = 8

// writeJob is what a bare writer is to do.
type writeJob struct {
	DSN          string     `json:"dsn"`
	Organization uuid.UUID  `json:"organization"`
	Kind         string     `json:"kind"`
	Workers      int        `json:"workers"` // at the same time
	Tank         bare.Tank  `json:"tank"`
	Check        bare.Check `json:"check"`
}

// pace is what one run of a side came to.
type pace struct {
	Count   int64         `json:"count"`
	Elapsed time.Duration `json:"elapsed_ns"`

	cpu time.Duration // that the process used up which did it
}

func (p pace) perSecond() float64 { return float64(p.Count) / p.Elapsed.Seconds() }

// WriteBare is the bare side of a bench of writes, in a process of its own: it reads what to store, then a time for
// each run, stores as fast as it can for so long, and says how often that was. It ends with its input.
func WriteBare(ctx context.Context, in io.Reader, out io.Writer) error {
	lines := bufio.NewReader(in)
	var job writeJob
	if err := readLine(lines, &job); err != nil {
		return err
	}
	w, err := bare.Open(ctx, job.DSN, job.Organization, bareConnections)
	if err != nil {
		return err
	}
	defer w.Close()
	for {
		var d time.Duration
		if err := readLine(lines, &d); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
		p, err := job.run(ctx, w, d)
		if err == nil {
			err = json.NewEncoder(out).Encode(p)
		}
		if err != nil {
			return err
		}
	}
}

// run stores for about d.
func (j *writeJob) run(ctx context.Context, w *bare.Writer, d time.Duration) (pace, error) {
	write := func() error { return w.RecordCheck(ctx, &j.Check) }
	if j.Kind == tankWrites {
		write = func() error { _, err := w.CreateTank(ctx, &j.Tank); return err }
	}
	var count atomic.Int64
	start, failures := time.Now(), make([]error, j.Workers)
	var wg sync.WaitGroup
	for i := range j.Workers {
		wg.Go(func() {
			for time.Since(start) < d {
				if failures[i] = write(); failures[i] != nil {
					return
				}
				count.Add(1)
			}
		})
	}
	wg.Wait()
	return pace{Count: count.Load(), Elapsed: time.Since(start)}, errors.Join(failures...)
}
