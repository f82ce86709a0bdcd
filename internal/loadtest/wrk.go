package loadtest

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"time"
)

// Wrk asks through the program of that name, where it is installed. It cannot ask at a steady pace.
type Wrk struct {
	program   string
	processor int // that it runs on; negative is any
	dir       string
}

// ErrNoWrk says that the program is not installed.
var ErrNoWrk = errors.New("wrk is not installed: apt-get install wrk (Debian, Ubuntu), or take another client")

// wrkScript makes wrk send the requests of a file, one after the other, from a place in it on.
const wrkScript = `local requests, count, at = {}, 0, 0
function init(args)
	local file = assert(io.open(args[1], "rb"))
	while true do
		local size = file:read("*n")
		if not size then break end
		file:read(1)
		count = count + 1
		requests[count] = file:read(size)
	end
	file:close()
	at = tonumber(args[2])
end
function request()
	at = at + 1
	return requests[at % count + 1]
end
`

// FindWrk finds the program, or is [ErrNoWrk]. Its files go into dir.
func FindWrk(dir string, processor int) (*Wrk, error) {
	program, err := exec.LookPath("wrk")
	if err != nil {
		return nil, ErrNoWrk
	}
	w := &Wrk{program, processor, dir}
	return w, os.WriteFile(w.script(), []byte(wrkScript), 0o600)
}

func (w *Wrk) script() string { return filepath.Join(w.dir, "requests.lua") }

// Prepare writes requests to a file for [Wrk.Rush].
func (w *Wrk) Prepare(wire [][]byte) (file string, err error) {
	f, err := os.CreateTemp(w.dir, "requests-*")
	if err != nil {
		return "", fmt.Errorf("loadtest: %w", err)
	}
	out := bufio.NewWriter(f)
	for _, request := range wire {
		fmt.Fprintf(out, "%d\n%s", len(request), request)
	}
	if err := errors.Join(out.Flush(), f.Close()); err != nil {
		return "", fmt.Errorf("loadtest: %w", err)
	}
	return f.Name(), nil
}

// Rush asks the requests of a file on so many connections as fast as answers come, for d in whole
// seconds, at least one. It leaves out the first after of them, and one more, which wrk takes to look at.
func (w *Wrk) Rush(ctx context.Context, addr, file string, after int64, connections int, d time.Duration) (count int64, perSecond float64, err error) {
	if err := onLoopback(addr); err != nil {
		return 0, 0, err
	}
	seconds := max(int(math.Round(d.Seconds())), 1)
	var out bytes.Buffer
	cmd := exec.CommandContext(ctx, w.program, "-t1", fmt.Sprintf("-c%d", connections), fmt.Sprintf("-d%ds", seconds),
		"-s", w.script(), "http://"+addr+"/", "--", file, strconv.FormatInt(after, 10))
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := StartOn(w.processor, cmd); err != nil {
		return 0, 0, fmt.Errorf("loadtest: wrk: %w", err)
	}
	if err := cmd.Wait(); err != nil {
		return 0, 0, fmt.Errorf("loadtest: wrk: %w\n%s", err, out.Bytes())
	}
	return readWrk(out.Bytes())
}

var (
	wrkCount  = regexp.MustCompile(`(?m)^\s*(\d+) requests in `)
	wrkPace   = regexp.MustCompile(`(?m)^Requests/sec:\s*([\d.]+)`)
	wrkFaults = regexp.MustCompile(`(?m)^\s*(Non-2xx or 3xx responses: \d+|Socket errors: .*)`)
)

// readWrk reads what wrk prints. Answers of no success are an error.
func readWrk(out []byte) (count int64, perSecond float64, err error) {
	if fault := wrkFaults.Find(out); fault != nil {
		return 0, 0, fmt.Errorf("loadtest: wrk: %s", bytes.TrimSpace(fault))
	}
	number, pace := wrkCount.FindSubmatch(out), wrkPace.FindSubmatch(out)
	if number == nil || pace == nil {
		return 0, 0, fmt.Errorf("loadtest: wrk says something else than it used to:\n%s", out)
	}
	if count, err = strconv.ParseInt(string(number[1]), 10, 64); err == nil {
		perSecond, err = strconv.ParseFloat(string(pace[1]), 64)
	}
	if err == nil && count == 0 {
		err = errors.New("loadtest: wrk had no answer")
	}
	return count, perSecond, err
}
