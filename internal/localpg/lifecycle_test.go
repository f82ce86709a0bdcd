//go:build unix

package localpg

import (
	"bufio"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

func TestAFirstStartMakesADatabaseAndARestartKeepsItsRows(t *testing.T) {
	dir := filepath.Join(testDir(t), "not", "there", "yet")
	s := start(t, Options{DataDir: dir})
	query(t, s.DSN(), writeRow)
	stop(t, s)
	select {
	case <-s.Done():
	default:
		t.Error("Done is open after Stop")
	}
	again := start(t, Options{DataDir: dir})
	if got := query(t, again.DSN(), readRow); got != row {
		t.Errorf("after a restart the row reads %q, want %q", got, row)
	}
}

func TestTheServerListensOnAPrivateSocketOnly(t *testing.T) {
	s := start(t, Options{DataDir: readyDir(t), Throwaway: true})
	if got := query(t, s.DSN(), "SHOW listen_addresses"); got != "" {
		t.Errorf("listen_addresses is %q, want none", got)
	}
	info, err := os.Stat(s.socket)
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode().Perm() != 0o700 {
		t.Errorf("the socket folder has mode %v, want 0700", info.Mode().Perm())
	}
	if got := query(t, s.DSN(), "SELECT current_user || '@' || current_database()"); got != "commensal@commensal" {
		t.Errorf("the DSN leads to %s", got)
	}
}

func TestADataDirectoryWithALongPathGetsAShortSocket(t *testing.T) {
	dir := filepath.Join(testDir(t), strings.Repeat("long/", 30), "end")
	fill(t, dir)
	s := start(t, Options{DataDir: dir, Throwaway: true})
	if n := len(filepath.Join(s.socket, socketName)); n > 107 {
		t.Errorf("the socket's path has %d bytes", n)
	}
	if got := query(t, s.DSN(), "SELECT 'here'"); got != "here" {
		t.Errorf("got %q", got)
	}
	stop(t, s)
	if _, err := os.Stat(s.socket); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the short socket folder is left behind: %v", err)
	}
}

func TestAnInterruptedFirstStartIsBegunAnewWhateverTheFolderIsCalled(t *testing.T) {
	dir := filepath.Join(testDir(t), `a, "b" *[c]`)
	if err := os.MkdirAll(filepath.Join(dir, newClusterPrefix+"1"), 0o700); err != nil {
		t.Fatal(err)
	}
	s := start(t, Options{DataDir: dir, Throwaway: true})
	if _, err := os.Stat(filepath.Join(dir, newClusterPrefix+"1")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the unfinished cluster is still there: %v", err)
	}
	if got := query(t, s.DSN(), "SELECT 'here'"); got != "here" {
		t.Errorf("got %q", got)
	}
}

func TestASecondStartOnADirectoryIsRefused(t *testing.T) {
	dir := readyDir(t)
	s := start(t, Options{DataDir: dir, Throwaway: true})
	_, err := Start(testContext(t), Options{DataDir: dir})
	var inUse *InUseError
	if !errors.As(err, &inUse) {
		t.Fatalf("got %v, want an InUseError", err)
	}
	if inUse.Dir != dir || inUse.PID != os.Getpid() {
		t.Errorf("got %+v, want directory %s and pid %d", inUse, dir, os.Getpid())
	}
	if got := query(t, s.DSN(), "SELECT 'still here'"); got != "still here" {
		t.Errorf("the first server answers %q", got)
	}
	stop(t, s)
	start(t, Options{DataDir: dir, Throwaway: true})
}

func TestACommittedRowSurvivesAKilledServer(t *testing.T) {
	dir := readyDir(t)
	s := start(t, Options{DataDir: dir})
	query(t, s.DSN(), writeRow)
	if err := s.proc.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	<-s.Done()
	stop(t, s)
	if _, err := os.Stat(filepath.Join(s.clusterDir(), "postmaster.pid")); err != nil {
		t.Fatalf("a killed server should have left its pid file: %v", err)
	}
	again := start(t, Options{DataDir: dir})
	if got := query(t, again.DSN(), readRow); got != row {
		t.Errorf("after kill -9 of the server the row reads %q, want %q", got, row)
	}
}

func TestADirectoryByAnotherPathIsTheSameDirectory(t *testing.T) {
	dir := testDir(t)
	data, alias := filepath.Join(dir, "data"), filepath.Join(dir, "alias")
	fill(t, data)
	start(t, Options{DataDir: data, Throwaway: true})
	if err := os.Symlink(data, alias); err != nil {
		t.Fatal(err)
	}
	_, err := Start(testContext(t), Options{DataDir: alias})
	var inUse *InUseError
	if !errors.As(err, &inUse) || inUse.Dir != data {
		t.Errorf("got %v, want an InUseError for %s", err, data)
	}
}

func TestACommittedRowSurvivesAKilledService(t *testing.T) {
	dir := readyDir(t)
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), helperVariable+"="+dir)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	dsn, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	query(t, strings.TrimSpace(dsn), writeRow)

	_, err = Start(testContext(t), Options{DataDir: dir})
	var inUse *InUseError
	if !errors.As(err, &inUse) || inUse.PID != cmd.Process.Pid {
		t.Errorf("while the service lives, got %v, want an InUseError with pid %d", err, cmd.Process.Pid)
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait() // killed: that is the point

	again := start(t, Options{DataDir: dir})
	if got := query(t, again.DSN(), readRow); got != row {
		t.Errorf("after kill -9 of the service the row reads %q, want %q", got, row)
	}
}

func TestAServerThatOutlivedItsServiceIsStopped(t *testing.T) {
	dir := readyDir(t)
	s := start(t, Options{DataDir: dir})
	query(t, s.DSN(), writeRow)
	s.stopping.Store(true)
	if err := s.lock.release(); err != nil { // what the kernel does when a service dies
		t.Fatal(err)
	}
	again, err := Start(testContext(t), Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	defer again.Stop(context.Background())
	select {
	case <-s.Done():
	case <-time.After(time.Second):
		t.Error("the orphan still runs")
	}
	if got := query(t, again.DSN(), readRow); got != row {
		t.Errorf("the row reads %q, want %q", got, row)
	}
	// So that the first server's Stop has something to give up.
	if s.dir, err = os.OpenRoot(testDir(t)); err != nil {
		t.Fatal(err)
	}
	if s.lock, err = lockDir(s.dir); err != nil {
		t.Fatal(err)
	}
}

func TestAPidThatNowBelongsToAnotherProgramDoesNotBlockAStart(t *testing.T) {
	dir := readyDir(t)
	s := start(t, Options{DataDir: dir})
	query(t, s.DSN(), writeRow)
	if err := s.proc.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	stop(t, s)

	other := exec.Command("sleep", "60")
	other.SysProcAttr = &syscall.SysProcAttr{Credential: s.id.credential()}
	if err := other.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() {
		_ = other.Process.Kill()
		_ = other.Wait()
	}()
	path := filepath.Join(s.clusterDir(), "postmaster.pid")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "\n")
	if err := os.WriteFile(path, []byte(strconv.Itoa(other.Process.Pid)+"\n"+rest), 0o600); err != nil {
		t.Fatal(err)
	}
	again := start(t, Options{DataDir: dir})
	if got := query(t, again.DSN(), readRow); got != row {
		t.Errorf("the row reads %q, want %q", got, row)
	}
	if !alive(other.Process.Pid) {
		t.Error("the other program was ended")
	}
}

func TestACancelledFirstStartLeavesNothingRunningAndNoCluster(t *testing.T) {
	dir := testDir(t)
	ctx, cancel := context.WithTimeout(context.Background(), 150*time.Millisecond)
	defer cancel()
	if _, err := Start(ctx, Options{DataDir: dir}); !errors.Is(err, context.DeadlineExceeded) {
		t.Fatalf("got %v, want the context's error", err)
	}
	s := start(t, Options{DataDir: dir, Throwaway: true})
	if got := query(t, s.DSN(), "SELECT 'here'"); got != "here" {
		t.Errorf("got %q", got)
	}
}
