package dbtest

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"commensal/db"
	"commensal/internal/localpg"
	"commensal/internal/store/migration"

	"github.com/jackc/pgx/v5"
)

// Followed is a migrated PostgreSQL of a test's own and a hot standby that follows it by streaming, both on sockets.
// The standby can be hung, ended and held back.
type Followed struct {
	Owner    string // connection string of who may do everything, on the primary
	Primary  string // of the service's role
	Standby  string // of the service's role, on the standby
	tb       testing.TB
	postgres string
	dir      string // of the standby
	as       *syscall.Credential
	running  *exec.Cmd
	ended    chan struct{}
}

// following are the settings of both, over those of a throwaway server. Commits wait for the log as they do in
// earnest, because what is not written is not streamed.
var following = map[string]string{"wal_level": "replica", "max_wal_senders": "4", "hot_standby": "on", "synchronous_commit": "on", "fsync": "off", "max_connections": "100"}

// NewFollowed starts both, and ends them with the test.
func NewFollowed(tb testing.TB) *Followed {
	tb.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	f := &Followed{tb: tb}
	if err := f.start(ctx); err != nil {
		tb.Fatalf("dbtest: %v", err)
	}
	return f
}

func (f *Followed) start(ctx context.Context) error {
	home, err := os.MkdirTemp("", "commensal-dbtest-")
	if err != nil {
		return err
	}
	f.tb.Cleanup(func() {
		if err := os.RemoveAll(home); err != nil {
			f.tb.Error(err)
		}
	})
	if err := os.Chmod(home, 0o755); err != nil { // whoever PostgreSQL runs as passes through
		return err
	}
	srv, err := localpg.Start(ctx, localpg.Options{DataDir: filepath.Join(home, "p"), Throwaway: true, Settings: following})
	if err != nil {
		return err
	}
	f.tb.Cleanup(func() {
		if err := srv.Stop(context.Background()); err != nil {
			f.tb.Error(err)
		}
	})
	f.Owner, f.Primary = srv.Access().Owner, srv.Access().Service
	m := migration.New(f.Owner, db.MigrationsFS())
	if err := m.Up(ctx); err != nil {
		return err
	}
	if err := m.Admit(ctx, localpg.ServiceRole); err != nil {
		return err
	}
	return f.follow(ctx, home)
}

// follow copies the primary and starts the copy.
func (f *Followed) follow(ctx context.Context, home string) error {
	found, err := localpg.FindBinaries(ctx)
	if err != nil {
		return err
	}
	f.postgres, f.dir = filepath.Join(found[0].Dir, "postgres"), filepath.Join(home, "s")
	if err := f.ownedAs(filepath.Join(home, "p", "cluster")); err != nil {
		return err
	}
	copying := exec.CommandContext(ctx, filepath.Join(found[0].Dir, "pg_basebackup"), "--dbname="+f.Owner, "--pgdata="+f.dir+"/data", "--write-recovery-conf", "--checkpoint=fast", "--wal-method=stream", "--no-sync")
	copying.Dir, copying.Env, copying.SysProcAttr = "/", []string{"LC_ALL=C"}, &syscall.SysProcAttr{Credential: f.as}
	if out, err := copying.CombinedOutput(); err != nil {
		return fmt.Errorf("pg_basebackup: %w: %s", err, out)
	}
	here, err := url.Parse(f.Primary)
	if err != nil {
		return err
	}
	query := here.Query()
	query.Set("host", f.dir)
	here.RawQuery = query.Encode()
	f.Standby = here.String()
	f.tb.Cleanup(f.Kill)
	return f.run(ctx)
}

// ownedAs takes on the user of the primary's files, and makes a folder of it.
func (f *Followed) ownedAs(cluster string) error {
	if err := os.Mkdir(f.dir, 0o755); err != nil {
		return err
	}
	info, err := os.Stat(cluster)
	if err != nil || os.Geteuid() != 0 {
		return err
	}
	owner, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return errors.New("the owner of a folder is not told here")
	}
	f.as = &syscall.Credential{Uid: owner.Uid, Gid: owner.Gid}
	return os.Chown(f.dir, int(owner.Uid), int(owner.Gid))
}

// run starts the standby and waits until it answers.
func (f *Followed) run(ctx context.Context) error {
	args := []string{"-D", f.dir + "/data", "-c", "listen_addresses=", "-c", "unix_socket_directories=" + f.dir, "-c", "port=5432", "-c", "jit=off"}
	for name, value := range following {
		args = append(args, "-c", name+"="+value)
	}
	log, err := os.Create(f.dir + "/log")
	if err != nil {
		return err
	}
	defer log.Close()
	cmd := exec.Command(f.postgres, args...)
	cmd.Dir, cmd.Env, cmd.Stdout, cmd.Stderr = "/", []string{"LC_ALL=C"}, log, log
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: f.as, Setpgid: true}
	if err := cmd.Start(); err != nil {
		return err
	}
	f.running, f.ended = cmd, make(chan struct{})
	go func(ended chan<- struct{}) {
		_ = cmd.Wait() // killed, as a rule
		close(ended)
	}(f.ended)
	for {
		conn, err := pgx.Connect(ctx, f.Standby)
		if err == nil {
			return conn.Close(ctx)
		}
		select {
		case <-f.ended:
			text, _ := os.ReadFile(f.dir + "/log")
			return fmt.Errorf("the standby has ended: %s", text)
		case <-ctx.Done():
			return fmt.Errorf("the standby does not answer: %w", err)
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// Start starts the standby again after Kill. PostgreSQL refuses for as long as a session that was killed is not quite gone.
func (f *Followed) Start() {
	f.tb.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	for {
		err := f.run(ctx)
		if err == nil {
			return
		}
		if ctx.Err() != nil || !strings.Contains(err.Error(), "still in use") {
			f.tb.Fatalf("dbtest: %v", err)
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// Kill ends the standby and all its sessions at once. Killed before, it stays so.
func (f *Followed) Kill() {
	if f.running == nil {
		return
	}
	f.signal(syscall.SIGKILL)
	<-f.ended
	f.running = nil
}

// Hang stops the standby and all its sessions in the middle of whatever they do, until Wake.
func (f *Followed) Hang() { f.signal(syscall.SIGSTOP) }

// Wake lets what hangs go on.
func (f *Followed) Wake() { f.signal(syscall.SIGCONT) }

// signal reaches the server first, so that it makes no more sessions meanwhile.
func (f *Followed) signal(signal syscall.Signal) {
	server := f.running.Process.Pid
	children, _ := os.ReadFile(fmt.Sprintf("/proc/%d/task/%d/children", server, server))
	_ = syscall.Kill(server, signal)
	for _, text := range strings.Fields(string(children)) {
		if pid, err := strconv.Atoi(text); err == nil {
			_ = syscall.Kill(pid, signal) // it may be gone
		}
	}
}

// HoldBack keeps the standby from showing anything newer, while it answers and goes on to receive, until LetGo.
func (f *Followed) HoldBack() { f.administer(`SELECT pg_wal_replay_pause()`) }

// LetGo lets the standby catch up.
func (f *Followed) LetGo() { f.administer(`SELECT pg_wal_replay_resume()`) }

// Promote makes the standby a primary of its own.
func (f *Followed) Promote() { f.administer(`SELECT pg_promote()`) }

// administer runs SQL on the standby as who may do everything.
func (f *Followed) administer(sql string) {
	f.tb.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	config, err := pgx.ParseConfig(f.Standby)
	if err != nil {
		f.tb.Fatal(err)
	}
	config.User = localpg.Owner
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		f.tb.Fatal(err)
	}
	defer conn.Close(ctx)
	if _, err := conn.Exec(ctx, sql); err != nil {
		f.tb.Fatalf("%s: %v", sql, err)
	}
}
