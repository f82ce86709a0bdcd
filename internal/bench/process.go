package bench

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"syscall"
	"time"

	"commensal/internal/loadtest"
)

// child is another process of this program.
type child struct {
	cmd *exec.Cmd
	in  io.WriteCloser
	out *bufio.Reader
	log *os.File // what it says beside
}

// endTime is how long a child may take to end.
const endTime = 30 * time.Second

// start starts this program with other arguments, on the processor of the servers.
func (b *bench) start(env []string, args ...string) (c *child, err error) {
	c = &child{cmd: exec.Command(b.Program, args...)}
	c.cmd.Env = append(quietEnvironment(), env...)
	if c.log, err = os.CreateTemp(b.dir, "log-*"); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			c.log.Close()
		}
	}()
	appended, err := os.OpenFile(c.log.Name(), os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return nil, err
	}
	defer appended.Close()
	c.cmd.Stderr = appended
	if c.in, err = c.cmd.StdinPipe(); err != nil {
		return nil, err
	}
	out, err := c.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	c.out = bufio.NewReader(out)
	return c, loadtest.StartOn(b.serverOn, c.cmd)
}

// quietEnvironment is the environment without what sets up a service.
func quietEnvironment() (env []string) {
	for _, pair := range os.Environ() {
		name, _, _ := strings.Cut(pair, "=")
		if name != "DATABASE_URL" && (!strings.HasPrefix(name, "COMMENSAL_") || name == "COMMENSAL_PG_BINDIR") {
			env = append(env, pair)
		}
	}
	return env
}

// tell sends a child a line of JSON.
func (c *child) tell(what any) error {
	line, err := json.Marshal(what)
	if err != nil {
		return err
	}
	_, err = c.in.Write(append(line, '\n'))
	return c.explained(err)
}

// hear reads a line of a child.
func (c *child) hear() (line string, err error) {
	line, err = c.out.ReadString('\n')
	return strings.TrimSpace(line), c.explained(err)
}

// explained adds to an error what the child said last.
func (c *child) explained(err error) error {
	if err == nil {
		return nil
	}
	text, _ := os.ReadFile(c.log.Name())
	return fmt.Errorf("%s: %w\n%s", strings.Join(c.cmd.Args[1:], " "), err, text[max(0, len(text)-2000):])
}

// end asks a child to end, and waits for it.
func (c *child) end() error {
	_ = c.in.Close()
	if c.cmd.Args[1] == "serve" {
		_ = c.cmd.Process.Signal(syscall.SIGTERM)
	}
	late := time.AfterFunc(endTime, func() { _ = c.cmd.Process.Kill() })
	defer late.Stop()
	_, _ = io.Copy(io.Discard, c.out)
	return errors.Join(c.explained(c.cmd.Wait()), c.log.Close())
}

// forget empties the log of a child, so that it does not fill the disk.
func (c *child) forget() error { return c.log.Truncate(0) }

// served is the service that is measured.
type served struct {
	*child
	addr, metrics string
}

// serve starts the service with a private PostgreSQL of its own, as commensal serve does, without a limit of
// requests.
func (b *bench) serve(ctx context.Context) (*served, error) {
	c, err := b.start([]string{"COMMENSAL_DATA_DIR=" + b.dataDir}, "serve", "--addr", "127.0.0.1:0", "--metrics-addr", "127.0.0.1:0",
		"--rate-limit", "0", "--key-rate-limit", "0", "--drain-delay", "0s")
	if err != nil {
		return nil, err
	}
	s := &served{child: c}
	stop := context.AfterFunc(ctx, func() { _ = c.cmd.Process.Signal(syscall.SIGTERM) })
	defer stop()
	if _, err = c.hear(); err == nil {
		err = s.findAddresses()
	}
	if err != nil {
		return nil, errors.Join(err, c.end())
	}
	return s, nil
}

// findAddresses reads from the log where the service listens.
func (s *served) findAddresses() error {
	text, err := os.ReadFile(s.log.Name())
	if err != nil {
		return err
	}
	for line := range bytes.Lines(text) {
		var said struct{ Msg, Addr, Metrics string }
		if json.Unmarshal(line, &said) == nil && said.Msg == "ready" {
			s.addr, s.metrics = said.Addr, said.Metrics
			return nil
		}
	}
	return s.explained(errors.New("it does not say where it listens"))
}

// usage is what the service has used up so far, as it says itself.
type usage struct {
	cpu      float64 // seconds
	objects  float64 // allocated
	bytes    float64 // allocated
	resident float64 // bytes of memory, now
}

// usage asks the service's metrics.
func (s *served) usage(ctx context.Context) (u usage, err error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+s.metrics+"/metrics", nil)
	if err != nil {
		return u, err
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return u, err
	}
	defer answer.Body.Close()
	wanted := map[string]*float64{"process_cpu_seconds_total": &u.cpu, "go_memstats_mallocs_total": &u.objects,
		"go_memstats_alloc_bytes_total": &u.bytes, "process_resident_memory_bytes": &u.resident}
	return u, readMetrics(answer.Body, wanted)
}

// readMetrics reads the wanted metrics, all of which must be there.
func readMetrics(from io.Reader, wanted map[string]*float64) (err error) {
	seen := 0
	lines := bufio.NewScanner(from)
	for lines.Scan() {
		name, text, _ := strings.Cut(lines.Text(), " ")
		if into := wanted[name]; into != nil {
			if *into, err = strconv.ParseFloat(text, 64); err != nil {
				return fmt.Errorf("bench: the metric %s: %w", name, err)
			}
			seen++
		}
	}
	if err = lines.Err(); err == nil && seen != len(wanted) {
		err = fmt.Errorf("bench: the service tells %d of %d metrics: this system does not say what a process uses", seen, len(wanted))
	}
	return err
}
