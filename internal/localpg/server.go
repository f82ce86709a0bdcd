//go:build unix

package localpg

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"

	"github.com/cenkalti/backoff/v5"
)

// Server is a running private PostgreSQL. Its methods are safe for concurrent use.
type Server struct {
	opts    Options
	dir     *os.Root // the data directory, held open
	bin     Binaries
	id      identity
	lock    *dirLock
	log     *logFile
	socket  string
	proc    *process
	stop    sync.Once
	stopErr error
	// stopping is set before the server is told to end.
	stopping atomic.Bool
}

// Start claims the data directory, creates the cluster on first use, starts the
// server, waits until it answers and makes sure that the database exists. ctx
// bounds the start only; the server then runs until [Server.Stop] or the end of
// this process (on Linux the kernel sees to that; elsewhere the next Start does).
//
// Errors: [InUseError], [NotFoundError], [VersionError], [UnreachableError],
// [OwnerError], [StartError]; on any of them nothing is left running.
func Start(ctx context.Context, opts Options) (*Server, error) {
	opts, err := opts.withDefaults()
	if err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeoutCause(ctx, opts.StartTimeout, fmt.Errorf("no answer within %v: %w", opts.StartTimeout, context.DeadlineExceeded))
	defer cancel()
	found, err := FindBinaries(ctx)
	if err != nil {
		return nil, err
	}
	s := &Server{opts: opts}
	if s.opts.DataDir, s.dir, err = openDataDir(opts.DataDir); err != nil {
		return nil, err
	}
	if s.lock, err = lockDir(s.dir); err != nil {
		return nil, errors.Join(err, s.dir.Close())
	}
	if err := s.start(ctx, found); err != nil {
		return nil, errors.Join(err, s.cleanUp())
	}
	return s, nil
}

// start does what needs the directory lock.
func (s *Server) start(ctx context.Context, found []Binaries) error {
	begin := time.Now()
	version, err := clusterVersion(s.dir)
	if err != nil {
		return err
	}
	if s.bin, err = choose(found, s.opts.DataDir, version); err != nil {
		return err
	}
	if s.id, err = chooseIdentity(s.dir); err != nil {
		return err
	}
	if err := openThrough(s.opts.DataDir, s.dir, s.id); err != nil {
		return err
	}
	if s.log, err = openLog(s.dir); err != nil {
		return err
	}
	if version == "" {
		if err := s.createCluster(ctx); err != nil {
			return err
		}
		s.opts.Logger.Info("created a database cluster", "dir", s.clusterDir(), "postgres", s.bin.Major)
	}
	if err := s.serve(ctx); err != nil {
		return err
	}
	go s.watch()
	s.opts.Logger.Info("private PostgreSQL is ready", "dir", s.opts.DataDir, "postgres", s.bin.Major, "user", s.id.name, "took", time.Since(begin))
	return nil
}

// serve starts the postmaster on an existing cluster and waits until it answers.
func (s *Server) serve(ctx context.Context) error {
	unclean, err := s.clearOrphan(ctx)
	if err != nil {
		return err
	}
	if s.socket, err = socketDir(s.opts.DataDir, s.id); err != nil {
		return err
	}
	if err := clearSocket(s.socket); err != nil {
		return err
	}
	attempts := uint(1)
	if unclean {
		s.opts.Logger.Warn("the server was not stopped the last time; PostgreSQL recovers", "dir", s.opts.DataDir)
		// Sessions of a killed server need a moment to notice, and until then
		// PostgreSQL rightly refuses to start beside them.
		attempts = 10
	}
	return s.launchAndAwait(ctx, attempts)
}

// launchAndAwait starts the postmaster, and another where it ended before it answered.
func (s *Server) launchAndAwait(ctx context.Context, attempts uint) error {
	waits := &backoff.ExponentialBackOff{InitialInterval: 50 * time.Millisecond, MaxInterval: 500 * time.Millisecond, Multiplier: 1.5}
	var last error
	_, err := backoff.Retry(ctx, func() (struct{}, error) {
		if s.proc, last = s.launch(); last == nil {
			last = s.await(ctx)
		}
		if last != nil && !errors.Is(last, errEnded) {
			return struct{}{}, backoff.Permanent(last)
		}
		return struct{}{}, last
	}, backoff.WithBackOff(waits), backoff.WithMaxTries(attempts), backoff.WithMaxElapsedTime(0))
	if err != nil {
		return last // it says more than that ctx has ended
	}
	return nil
}

// watch reports a server that ends on its own.
func (s *Server) watch() {
	<-s.proc.done
	if !s.stopping.Load() {
		s.opts.Logger.Error("private PostgreSQL has ended on its own", "state", s.proc.cmd.ProcessState.String(), "log", s.log.file.Name())
	}
}

// Access are the connection strings for the database, in URL form.
func (s *Server) Access() Access { return accessBy(s.socket) }

// DSN is the connection string of the owner, who may do everything.
func (s *Server) DSN() string { return s.Access().Owner }

// Done is closed when the server has ended, by Stop or on its own.
func (s *Server) Done() <-chan struct{} { return s.proc.done }

// Stop ends the server and gives up the data directory. It closes open sessions
// and waits for a clean shutdown until ctx is over; then it stops hard, which
// costs a recovery at the next start but no committed data. Further calls return
// the first one's result.
func (s *Server) Stop(ctx context.Context) error {
	s.stop.Do(func() {
		s.stopping.Store(true)
		s.stopErr = errors.Join(s.proc.stop(ctx), s.cleanUp())
		s.opts.Logger.Info("private PostgreSQL has stopped", "dir", s.opts.DataDir)
	})
	return s.stopErr
}

// cleanUp gives up what the server holds; a process that still runs is ended.
func (s *Server) cleanUp() error {
	var errs []error
	if s.proc != nil && !s.proc.ended() {
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		errs = append(errs, s.proc.stop(ctx))
	}
	if s.log != nil {
		errs = append(errs, s.log.file.Close())
	}
	if s.socket != "" && filepath.Dir(s.socket) != s.opts.DataDir {
		// It lies among the temporary files; one that is not empty stays.
		_ = os.Remove(s.socket)
	}
	return errors.Join(append(errs, s.dir.Close(), s.lock.release())...)
}
