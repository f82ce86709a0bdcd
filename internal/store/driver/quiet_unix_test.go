//go:build unix

package driver

import (
	"net"
	"testing"
	"time"
)

// connected are the two ends of a connection on this machine.
func connected(t *testing.T) (here, there net.Conn) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if here, err = net.Dial("tcp", l.Addr().String()); err != nil {
		t.Fatal(err)
	}
	if there, err = l.Accept(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { here.Close(); there.Close() })
	return here, there
}

// soon waits until a connection is quiet, or is not.
func soon(t *testing.T, conn net.Conn, want bool) {
	t.Helper()
	for end := time.Now().Add(10 * time.Second); quiet(conn) != want; time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("quiet is %v and does not become %v", !want, want)
		}
	}
}

func TestAConnectionIsQuietUntilTheOtherEndSpeaksOrGoes(t *testing.T) {
	here, there := connected(t)
	soon(t, here, true)
	if _, err := there.Write([]byte("x")); err != nil {
		t.Fatal(err)
	}
	soon(t, here, false)
	if _, err := here.Read(make([]byte, 1)); err != nil {
		t.Fatal(err)
	}
	soon(t, here, true)
	there.Close()
	soon(t, here, false)
}

// TestAskingDoesNotWaitForAReader holds what a write once waited for without end: the driver reads in the background where
// sending is slow, and may leave that reader waiting.
func TestAskingDoesNotWaitForAReader(t *testing.T) {
	here, there := connected(t)
	reading, read := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(read)
		close(reading)
		_, _ = here.Read(make([]byte, 1))
	}()
	<-reading
	time.Sleep(50 * time.Millisecond) // the reader waits by now, most likely; where it does not, this holds as well
	answered := make(chan bool)
	go func() { answered <- quiet(here) }()
	select {
	case silent := <-answered:
		if !silent {
			t.Error("a silent connection is not quiet")
		}
	case <-time.After(10 * time.Second):
		t.Error("asking waits for the reader")
	}
	there.Close()
	<-read
}
