package loadtest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"runtime"
	"time"

	"golang.org/x/sys/unix"
)

// Target is a server with connections that are kept open. On Linux one thread serves them all, without
// the poller of the runtime: a client like that costs about half of one with a goroutine for each.
type Target struct {
	addr   string
	poll   int
	clock  int // wakes the poll when a request is due that is far off
	conns  []*connection
	buffer []byte
}

// connection is one connection; one request at a time is on it.
type connection struct {
	fd        int
	frame     frame
	unsent    []byte // of the request under way
	due, sent time.Time
	busy      bool
}

// Dial opens so many connections to a server, host:port, where the host is a loopback
// address. It must be closed in the end.
func Dial(ctx context.Context, addr string, connections int) (*Target, error) {
	if err := onLoopback(addr); err != nil {
		return nil, err
	}
	poll, err := unix.EpollCreate1(unix.EPOLL_CLOEXEC)
	if err != nil {
		return nil, fmt.Errorf("loadtest: %w", err)
	}
	clock, err := unix.TimerfdCreate(unix.CLOCK_MONOTONIC, unix.TFD_NONBLOCK|unix.TFD_CLOEXEC)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("loadtest: %w", err), unix.Close(poll))
	}
	t := &Target{addr: addr, poll: poll, clock: clock, buffer: make([]byte, 256<<10)}
	if err := unix.EpollCtl(poll, unix.EPOLL_CTL_ADD, clock, &unix.EpollEvent{Events: unix.EPOLLIN | unix.EPOLLET, Fd: noConnection}); err != nil {
		return nil, errors.Join(fmt.Errorf("loadtest: %w", err), t.Close())
	}
	for i := range connections {
		fd, err := connect(ctx, addr)
		if err != nil {
			return nil, errors.Join(fmt.Errorf("loadtest: %w", err), t.Close())
		}
		t.conns = append(t.conns, &connection{fd: fd})
		if err := t.watch(unix.EPOLL_CTL_ADD, i, unix.EPOLLIN); err != nil {
			return nil, errors.Join(err, t.Close())
		}
	}
	return t, nil
}

// connect makes a connection that the runtime knows nothing of.
func connect(ctx context.Context, addr string) (fd int, err error) {
	d := net.Dialer{Timeout: dialTimeout}
	conn, err := d.DialContext(ctx, "tcp", addr)
	if err != nil {
		return 0, err
	}
	defer conn.Close() // this end of it: what is duplicated stays open
	raw, err := conn.(*net.TCPConn).SyscallConn()
	if err != nil {
		return 0, err
	}
	var failed error
	err = raw.Control(func(theirs uintptr) {
		fd, failed = unix.FcntlInt(theirs, unix.F_DUPFD_CLOEXEC, 0)
	})
	return fd, errors.Join(err, failed)
}

func (t *Target) connections() int { return len(t.conns) }

// Close closes all connections.
func (t *Target) Close() (err error) {
	for _, c := range t.conns {
		if c.fd >= 0 {
			err = errors.Join(err, unix.Close(c.fd))
		}
	}
	return errors.Join(err, unix.Close(t.clock), unix.Close(t.poll))
}

// watch says what of a connection is waited for.
func (t *Target) watch(how, i int, events uint32) error {
	err := unix.EpollCtl(t.poll, how, t.conns[i].fd, &unix.EpollEvent{Events: events, Fd: int32(i)})
	if err != nil {
		return fmt.Errorf("loadtest: %w", err)
	}
	return nil
}

const (
	// spin is how long before a request is due the thread no longer sleeps: the clock of a sleep is too
	// coarse for it, and a processor that sleeps takes its time to wake.
	spin = 2 * time.Millisecond
	// seldom is how far off a request is before which the thread sleeps until it is due: whoever asks now and then spins
	// for nothing, and where another thread that asks shares the processor, keeps that from its answers.
	seldom = 5 * spin
	// noConnection is the number of the clock among those of connections.
	noConnection = -1
	// lookUp is how often a run that waits for answers looks whether it is to end.
	lookUp = 100 * time.Millisecond
)

// run asks on every connection, each time for the next request that is due.
func (t *Target) run(ctx context.Context, p plan) error {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	free := make([]int, 0, len(t.conns))
	for i, c := range t.conns {
		if c.busy {
			return errors.New("loadtest: a run was cut off on these connections")
		}
		free = append(free, i)
	}
	events := make([]unix.EpollEvent, len(t.conns)+1)
	var n int64
	due, more := p.next(n)
	for more || len(free) < len(t.conns) {
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		for more && len(free) > 0 && !time.Now().Before(due) {
			last := len(free) - 1
			if err := t.send(free[last], p.from(n), due); err != nil {
				return err
			}
			free = free[:last]
			n++
			due, more = p.next(n)
		}
		if !more && len(free) == len(t.conns) {
			break
		}
		wait, err := t.waitFor(more && len(free) > 0, due)
		if err != nil {
			return err
		}
		ready, err := unix.EpollWait(t.poll, events, wait)
		if err != nil && !errors.Is(err, unix.EINTR) {
			return fmt.Errorf("loadtest: %w", err)
		}
		for _, e := range events[:max(ready, 0)] {
			if e.Fd == noConnection {
				continue
			}
			done, err := t.serve(ctx, int(e.Fd), e.Events, &p)
			if err != nil {
				return err
			}
			if done {
				free = append(free, int(e.Fd))
			}
		}
		// What came late in a run may have changed whether there is more to ask.
		if more {
			due, more = p.next(n)
		}
	}
	return nil
}

// waitFor is for how many milliseconds a thread may sleep: until a request is due, where a connection
// is free for it.
func (t *Target) waitFor(asks bool, due time.Time) (wait int, err error) {
	const most = int(lookUp / time.Millisecond)
	if !asks {
		return most, nil
	}
	until := time.Until(due)
	if until >= seldom {
		err := unix.TimerfdSettime(t.clock, 0, &unix.ItimerSpec{Value: unix.NsecToTimespec(until.Nanoseconds())}, nil)
		if err != nil {
			return 0, fmt.Errorf("loadtest: %w", err)
		}
		return most, nil
	}
	return max(int(min(until-spin, lookUp)/time.Millisecond), 0), nil
}

// send begins a request.
func (t *Target) send(i int, request []byte, due time.Time) error {
	c := t.conns[i]
	c.busy, c.due, c.sent = true, due, time.Now()
	n, err := unix.Write(c.fd, request)
	if err != nil && !errors.Is(err, unix.EAGAIN) {
		return fmt.Errorf("loadtest: %w", err)
	}
	if c.unsent = request[max(n, 0):]; len(c.unsent) > 0 {
		return t.watch(unix.EPOLL_CTL_MOD, i, unix.EPOLLIN|unix.EPOLLOUT)
	}
	return nil
}

// again connects anew where the server has ended an idle connection.
func (t *Target) again(ctx context.Context, i int) error {
	c := t.conns[i]
	if err := unix.Close(c.fd); err != nil { // which ends the watch too
		return fmt.Errorf("loadtest: %w", err)
	}
	fd, err := connect(ctx, t.addr)
	if err != nil {
		c.fd = -1
		return fmt.Errorf("loadtest: %w", err)
	}
	*c = connection{fd: fd}
	return t.watch(unix.EPOLL_CTL_ADD, i, unix.EPOLLIN)
}

// sendOn sends more of a request that did not fit into the socket.
func (t *Target) sendOn(i int) error {
	c := t.conns[i]
	n, err := unix.Write(c.fd, c.unsent)
	if err != nil && !errors.Is(err, unix.EAGAIN) {
		return fmt.Errorf("loadtest: %w", err)
	}
	if c.unsent = c.unsent[max(n, 0):]; len(c.unsent) == 0 {
		return t.watch(unix.EPOLL_CTL_MOD, i, unix.EPOLLIN)
	}
	return nil
}

// serve does what a connection is ready for. done reports that its answer is whole.
func (t *Target) serve(ctx context.Context, i int, events uint32, p *plan) (done bool, err error) {
	c := t.conns[i]
	if events&unix.EPOLLOUT != 0 && len(c.unsent) > 0 {
		if err := t.sendOn(i); err != nil {
			return false, err
		}
	}
	if events&(unix.EPOLLIN|unix.EPOLLHUP|unix.EPOLLERR) == 0 {
		return false, nil
	}
	n, err := unix.Read(c.fd, t.buffer)
	switch {
	case errors.Is(err, unix.EAGAIN), errors.Is(err, unix.EINTR):
		return false, nil
	case err != nil:
		return false, fmt.Errorf("loadtest: %w", err)
	case n == 0 && !c.busy: // it was idle for too long
		return false, t.again(ctx, i)
	case n == 0:
		return false, fmt.Errorf("loadtest: the server ended the connection: %w", io.ErrUnexpectedEOF)
	case !c.busy:
		return false, fmt.Errorf("%w: nobody asked", errFrame)
	}
	rest, done, err := c.frame.feed(t.buffer[:n])
	if err != nil || !done {
		return false, err
	}
	if len(rest) > 0 {
		return false, fmt.Errorf("%w: more came than was asked for", errFrame)
	}
	c.busy = false
	err = p.answered(i, c.due, c.sent, c.frame.status, c.frame.start)
	c.frame.again()
	return true, err
}
