package work

import (
	"context"
	"io"
	"net"
	"runtime"
	"testing"

	"commensal/internal/budget"
)

// Whoever computes lets others be heard, on one processor too: what came over the network is read meanwhile.
func TestWorkLetsTheNetworkBeHeard(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	here, err := net.Dial("tcp", listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer here.Close()
	there, err := listener.Accept()
	if err != nil {
		t.Fatal(err)
	}
	defer there.Close()
	heard := make(chan byte, 1)
	go func() {
		var b [1]byte
		if _, err := io.ReadFull(there, b[:]); err == nil {
			heard <- b[0]
		}
	}()
	for len(heard) == 0 { // it reads already, and waits
		runtime.Gosched()
		if _, err := here.Write([]byte{7}); err != nil {
			t.Fatal(err)
		}
		breathe()
	}
	if b := <-heard; b != 7 {
		t.Errorf("heard %d", b)
	}
}

func TestALungIsUsedAgain(t *testing.T) {
	l, err := newLung()
	if err != nil {
		t.Fatal(err)
	}
	for range 100 {
		if err := l.in(); err != nil {
			t.Fatal(err)
		}
	}
	if n := testing.AllocsPerRun(100, func() { _ = l.in() }); n > 0 {
		t.Errorf("%v allocations", n)
	}
	if l.to.Close(); l.in() == nil {
		t.Error("a word that cannot be sent is no error")
	}
}

// A job pauses while it computes.
func TestAJobPauses(t *testing.T) {
	paused := 0
	b := budget.New(0).Pausing(func() { paused++ })
	for range 5000 {
		b.Spend(1)
	}
	b.Spend(10_000)
	if paused != 5 {
		t.Errorf("%d pauses", paused)
	}
	job, err := NewOn(1, 0).Begin(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	defer job.Done()
	if !job.Budget.Spend(20_000) {
		t.Error("ended")
	}
}
