//go:build linux

package torture

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"commensal/internal/localpg"
	"commensal/internal/localpg/localpgtest"
)

// postgres is the processes of a private PostgreSQL on a data directory.
type postgres struct {
	t   *testing.T
	dir string
}

// server is the process of the server, which must be a child of one of the test's own
// processes: parent.
func (p postgres) server(parent int) int {
	p.t.Helper()
	text, err := os.ReadFile(filepath.Join(p.dir, "cluster", "postmaster.pid"))
	if err != nil {
		p.t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(text), "\n")
	server, err := strconv.Atoi(first)
	if err != nil {
		p.t.Fatal(err)
	}
	if above := parentsOfAll(p.t)[server]; above != parent {
		p.t.Fatalf("process %d is a child of %d and not of %d: it is not ours", server, above, parent)
	}
	return server
}

// parentsOfAll is the parent of each process.
func parentsOfAll(t *testing.T) map[int]int {
	t.Helper()
	stats, err := filepath.Glob("/proc/[0-9]*/stat")
	if err != nil {
		t.Fatal(err)
	}
	parents := map[int]int{}
	for _, stat := range stats {
		text, err := os.ReadFile(stat)
		if err != nil {
			continue // it has ended meanwhile
		}
		var state string
		var parent int
		// "pid (name) state parent …": the name may hold anything.
		if _, err := fmt.Sscan(string(text[bytes.LastIndexByte(text, ')')+1:]), &state, &parent); err != nil {
			t.Fatalf("%s: %v", stat, err)
		}
		pid, _ := strconv.Atoi(filepath.Base(filepath.Dir(stat)))
		parents[pid] = parent
	}
	return parents
}

// signal sends a signal to the server and all its sessions and workers. The server is stopped
// first, so that it makes no more of them meanwhile.
func (p postgres) signal(parent int, signal syscall.Signal) {
	p.t.Helper()
	server := p.server(parent)
	p.send(server, syscall.SIGSTOP)
	parents := parentsOfAll(p.t)
	p.send(server, signal)
	for pid, above := range parents {
		if above == server {
			p.send(pid, signal)
		}
	}
}

func (p postgres) send(pid int, signal syscall.Signal) {
	p.t.Helper()
	if err := syscall.Kill(pid, signal); err != nil && err != syscall.ESRCH {
		p.t.Fatal(err)
	}
}

// database is a private PostgreSQL that the test itself runs, with all the durability that
// a service's has.
type database struct {
	postgres
	running *localpg.Server
}

func newDatabase(t *testing.T) *database {
	t.Helper()
	d := &database{postgres: postgres{t, localpgtest.Folder(t)}}
	d.start()
	t.Cleanup(func() {
		if err := d.running.Stop(context.Background()); err != nil {
			t.Error(err)
		}
	})
	return d
}

func (d *database) start() {
	d.t.Helper()
	server, err := localpg.Start(d.t.Context(), localpg.Options{DataDir: d.dir})
	if err != nil {
		d.t.Fatal(err)
	}
	d.running = server
}

// kill ends the server and all its sessions at once.
func (d *database) kill() {
	d.t.Helper()
	d.signal(os.Getpid(), syscall.SIGKILL)
	<-d.running.Done()
	if err := d.running.Stop(d.t.Context()); err != nil {
		d.t.Fatal(err)
	}
}

// settings are those of a service on the database.
func (d *database) settings() []string { return []string{"DATABASE_URL=" + d.running.DSN()} }
