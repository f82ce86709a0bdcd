//go:build linux

package torture

import (
	"bytes"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"commensal/internal/localpg"
	"commensal/internal/localpg/localpgtest"

	"github.com/jackc/pgx/v5"
)

// requireHA is the variable that lets the test run, as in CI; a missing program is then a failure.
const requireHA = "COMMENSAL_TEST_FAILOVER"

// haPrograms are what a cluster is made of, with the Debian packages that bring them.
var haPrograms = map[string]string{"etcd": "etcd-server", "patroni": "patroni", "haproxy": "haproxy", "pgbouncer": "pgbouncer"}

const host = "127.0.0.1"

// ha is a highly available PostgreSQL on loopback.
type ha struct {
	t         *testing.T
	dir       string
	bindir    string
	variables map[string]string // of the files in deploy/failover
	etcds     [3]*etcd
	nodes     [3]*node
	pooler    *daemon
}

// daemon is a program in a process group of its own, which may be killed and started again.
type daemon struct {
	t    *testing.T
	args []string
	log  string
	cmd  *exec.Cmd
}

// node is a PostgreSQL with its Patroni.
type node struct {
	daemon
	data, rest string
	port       string   // where it listens; the others come by the ways
	ways       []*relay // to it, and from it to etcd
}

// part cuts a node off from all the others, or lets it back: from etcd, from whoever follows it, and from HAProxy.
func (n *node) part(cut bool) {
	for _, way := range n.ways {
		way.set(cut)
	}
}

// nobodySpecial is whom the programs run as: PostgreSQL refuses root.
func nobodySpecial(t *testing.T) *syscall.Credential {
	t.Helper()
	if os.Geteuid() != 0 {
		return nil
	}
	u, err := user.Lookup("postgres")
	if err != nil {
		u, err = user.Lookup("nobody")
	}
	if err != nil {
		t.Fatal(err)
	}
	uid, _ := strconv.ParseUint(u.Uid, 10, 32)
	gid, _ := strconv.ParseUint(u.Gid, 10, 32)
	return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
}

// credentialed starts a program as whom PostgreSQL may run.
func credentialed(t *testing.T) *syscall.SysProcAttr {
	t.Helper()
	return &syscall.SysProcAttr{Credential: nobodySpecial(t)}
}

func (d *daemon) start() {
	d.t.Helper()
	out, err := os.OpenFile(d.log, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		d.t.Fatal(err)
	}
	defer out.Close()
	d.cmd = exec.Command(d.args[0], d.args[1:]...)
	d.cmd.Stdout, d.cmd.Stderr = out, out
	d.cmd.Dir = filepath.Dir(d.log)
	d.cmd.Env = []string{"PATH=" + os.Getenv("PATH"), "HOME=" + filepath.Dir(d.log), "LC_ALL=C.UTF-8"}
	d.cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Credential: nobodySpecial(d.t)}
	if err := d.cmd.Start(); err != nil {
		d.t.Fatal(err)
	}
}

func (d *daemon) kill() {
	_ = d.cmd.Process.Kill()
	_ = d.cmd.Wait()
}

// end asks the program to end, and ends it where it does not.
func (d *daemon) end() {
	_ = d.cmd.Process.Signal(syscall.SIGTERM)
	ended := make(chan struct{})
	go func() { _ = d.cmd.Wait(); close(ended) }()
	select {
	case <-ended:
	case <-time.After(30 * time.Second):
		_ = d.cmd.Process.Kill()
		<-ended
	}
	if d.t.Failed() {
		text, _ := os.ReadFile(d.log)
		d.t.Logf("%s said:\n%s", filepath.Base(d.log), text[max(0, len(text)-6000):])
	}
}

// servers are the processes of the node's PostgreSQL, the first one first; none where it does not run.
func (n *node) servers() (pids []int) {
	text, err := os.ReadFile(filepath.Join(n.data, "postmaster.pid"))
	if err != nil {
		return nil
	}
	first, _, _ := strings.Cut(string(text), "\n")
	server, err := strconv.Atoi(strings.TrimSpace(first))
	if err != nil {
		return nil
	}
	// Only a process that was started on this very folder is ours.
	if line, err := os.ReadFile(fmt.Sprintf("/proc/%d/cmdline", server)); err != nil || !bytes.Contains(line, []byte(n.data)) {
		return nil
	}
	pids = []int{server}
	for pid, above := range parentsOfAll(n.t) {
		if above == server {
			pids = append(pids, pid)
		}
	}
	return pids
}

// signal sends a signal to Patroni, and to PostgreSQL with all its sessions.
func (n *node) signal(signal syscall.Signal) {
	_ = n.cmd.Process.Signal(signal)
	for _, pid := range n.servers() {
		_ = syscall.Kill(pid, signal)
	}
}

// kill is what the loss of a machine does.
func (n *node) kill() {
	n.signal(syscall.SIGKILL)
	_ = n.cmd.Wait()
}

// is asks Patroni whether its PostgreSQL is a primary, replica, sync or the like.
func (n *node) is(what string) bool {
	c := http.Client{Timeout: time.Second}
	response, err := c.Get(n.rest + "/" + what)
	if err != nil {
		return false
	}
	response.Body.Close()
	return response.StatusCode == http.StatusOK
}

// primary is the node that leads.
func (h *ha) primary() (found *node) {
	h.t.Helper()
	eventually(h.t, "there is a primary", func() bool {
		for _, n := range h.nodes {
			if n.is("primary") {
				found = n
				return true
			}
		}
		return false
	})
	return found
}

// healthy waits until one node leads, another follows in step, and all are there.
func (h *ha) healthy() {
	h.t.Helper()
	eventually(h.t, "a primary, a synchronous standby and three nodes", func() bool {
		primaries, standbys, followers := 0, 0, 0
		for _, n := range h.nodes {
			if n.is("primary") {
				primaries++
			}
			if n.is("synchronous") {
				standbys++
			}
			if n.is("replica") {
				followers++
			}
		}
		return primaries == 1 && standbys == 1 && followers == 2
	})
}

func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", host+":0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	_, port, _ := net.SplitHostPort(l.Addr().String())
	return port
}

// file writes a file of deploy/failover with its variables filled in.
func (h *ha) file(name, as string, more map[string]string) (path string) {
	h.t.Helper()
	text, err := os.ReadFile("../../deploy/failover/" + name)
	if err != nil {
		h.t.Fatal(err)
	}
	filled := os.Expand(string(text), func(variable string) string {
		for _, from := range []map[string]string{more, h.variables} {
			if value, ok := from[variable]; ok {
				return value
			}
		}
		return "${" + variable + "}"
	})
	return h.write(as, filled)
}

// detour changes what stands in a file once.
func (h *ha) detour(path, from, to string) {
	h.t.Helper()
	text, err := os.ReadFile(path)
	if err != nil || strings.Count(string(text), from) != 1 {
		h.t.Fatalf("%s: %q does not stand there once: %v", path, from, err)
	}
	h.write(filepath.Base(path), strings.Replace(string(text), from, to, 1))
}

// write writes a file that the programs may read.
func (h *ha) write(name, text string) (path string) {
	h.t.Helper()
	path = filepath.Join(h.dir, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		h.t.Fatal(err)
	}
	h.own(path)
	return path
}

func (h *ha) own(path string) {
	h.t.Helper()
	if who := nobodySpecial(h.t); who != nil {
		if err := os.Chown(path, int(who.Uid), int(who.Gid)); err != nil {
			h.t.Fatal(err)
		}
	}
}

// daemon starts a program, and ends it with the test.
func (h *ha) daemon(name string, args ...string) *daemon {
	h.t.Helper()
	d := &daemon{t: h.t, args: args, log: h.write(name+".log", "")}
	d.start()
	h.t.Cleanup(d.end)
	return d
}

// newHA starts a cluster and waits until it is healthy. It takes minutes in which a busy machine would
// see failovers that nobody asked for: it runs on demand, by itself.
func newHA(t *testing.T) *ha {
	t.Helper()
	if os.Getenv(requireHA) == "" {
		t.Skip("left out: make failover runs it, and .ci/run in a size that suits it")
	}
	for program, debian := range haPrograms {
		if _, err := exec.LookPath(program); err != nil {
			t.Fatalf("%s is not installed (Debian package %s)", program, debian)
		}
	}
	binaries, err := localpg.FindBinaries(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	h := &ha{t: t, dir: localpgtest.Folder(t), bindir: binaries[0].Dir, variables: map[string]string{"HOST": host, "PRIMARY_PORT": freePort(t), "REPLICA_PORT": freePort(t), "POOLER_PORT": freePort(t), "BINDIR": binaries[0].Dir, "WATCHDOG": "'off'"}}
	h.own(h.dir)
	h.newEtcds()
	for i := range h.nodes {
		h.nodes[i] = h.newNode(i)
	}
	h.daemon("haproxy", "haproxy", "-db", "-f", h.file("haproxy.cfg", "haproxy.cfg", nil))
	h.healthy()
	h.prepare()
	h.variables["USERS"] = h.write("users.txt", "\"commensal_login\" \"\"\n")
	h.pooler = h.daemon("pgbouncer", "pgbouncer", h.file("pgbouncer.ini", "pgbouncer.ini", nil))
	return h
}

// newNode starts a PostgreSQL with its Patroni. Everybody else comes to it through relays, and so does it to etcd.
func (h *ha) newNode(i int) *node {
	h.t.Helper()
	name, port, rest := fmt.Sprint("pg", i), freePort(h.t), freePort(h.t)
	n := &node{data: filepath.Join(h.dir, name), rest: "http://" + host + ":" + rest, port: port}
	way := func(to string) string {
		r := newRelay(h.t, to)
		n.ways = append(n.ways, r)
		return r.port
	}
	h.variables[fmt.Sprint("PORT_", i)], h.variables[fmt.Sprint("REST_PORT_", i)] = way(host+":"+port), way(host+":"+rest)
	var etcds []string
	for _, e := range h.etcds {
		etcds = append(etcds, host+":"+way(e.client))
	}
	config := h.file("patroni.yaml", name+".yaml", map[string]string{"NAME": name, "PORT": port, "REST_PORT": rest, "DATA": n.data, "SOCKETS": h.dir, "ETCD": strings.Join(etcds, ",")})
	h.detour(config, "etcd3:\n", "etcd3:\n  use_proxies: true\n") // or it would find the members themselves
	for _, by := range [][2]string{{rest, h.variables[fmt.Sprint("REST_PORT_", i)]}, {port, h.variables[fmt.Sprint("PORT_", i)]}} {
		h.detour(config, "connect_address: "+host+":"+by[0], "connect_address: "+host+":"+by[1])
	}
	n.daemon = daemon{t: h.t, args: []string{"patroni", config}, log: h.write(name+".log", "")}
	n.start()
	h.t.Cleanup(func() {
		n.signal(syscall.SIGCONT)
		n.end()
		for _, pid := range n.servers() {
			_ = syscall.Kill(pid, syscall.SIGKILL)
		}
	})
	return n
}

// prepare makes the roles and the database, as an administrator does once.
func (h *ha) prepare() {
	h.t.Helper()
	for _, step := range [][2]string{{"postgres", "CREATE ROLE commensal LOGIN CREATEROLE"}, {"postgres", "CREATE ROLE commensal_login LOGIN"}, {"postgres", "CREATE DATABASE commensal OWNER commensal"}} {
		eventually(h.t, step[1], func() bool {
			conn, err := pgx.Connect(h.t.Context(), "postgres://postgres@"+host+":"+h.variables["PRIMARY_PORT"]+"/"+step[0]+"?sslmode=disable")
			if err != nil {
				return false
			}
			defer conn.Close(h.t.Context())
			_, err = conn.Exec(h.t.Context(), step[1])
			return err == nil || strings.Contains(err.Error(), "already exists")
		})
	}
}

// primaryDSN leads to the primary, replicaDSN to a standby, pooledDSN to the primary through PgBouncer.
func (h *ha) primaryDSN(user string) string {
	return "postgres://" + user + "@" + host + ":" + h.variables["PRIMARY_PORT"] + "/commensal?sslmode=disable"
}

func (h *ha) replicaDSN(user string) string {
	return "postgres://" + user + "@" + host + ":" + h.variables["REPLICA_PORT"] + "/commensal?sslmode=disable"
}

// dsn leads to one node past everybody else, whatever it is.
func (n *node) dsn(user string) string {
	return "postgres://" + user + "@" + host + ":" + n.port + "/commensal?sslmode=disable"
}

func (h *ha) pooledDSN(user string) string {
	return "postgres://" + user + "@" + host + ":" + h.variables["POOLER_PORT"] + "/commensal?sslmode=disable&default_query_exec_mode=cache_describe"
}
