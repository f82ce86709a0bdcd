package work

import (
	"os"
	"runtime"
	"sync"
	"syscall"
)

// breathe lets all be served that the network has brought, and goes on after them. Work computes for up to half a second; Go
// would take the processor from it only after 10 ms, and looks at the network when nobody is ready to run: whoever yields is ready.
// So the work waits for word of itself from where news of the network comes from, and hears it with all the rest.
func breathe() {
	lung, ok := lungs.Get().(*lung)
	if !ok || lung.in() != nil {
		runtime.Gosched() // no more pipes are to be had
		return
	}
	lungs.Put(lung)
}

// lungs are those that nobody uses. One that is dropped is closed by the collector.
var lungs = sync.Pool{New: func() any {
	l, err := newLung()
	if err != nil {
		return nil
	}
	return l
}}

// lung is a pipe on which one tells itself to go on.
type lung struct {
	from, to *os.File
	raw      syscall.RawConn
	one      [1]byte
	told     bool
	failed   error
	step     func(fd uintptr) bool
}

func newLung() (l *lung, err error) {
	l = &lung{}
	if l.from, l.to, err = os.Pipe(); err != nil {
		return nil, err
	}
	if l.raw, err = l.from.SyscallConn(); err != nil {
		return nil, err
	}
	l.step = l.tellOrHear
	return l, nil
}

// in waits until the runtime has heard what is new.
func (l *lung) in() error {
	l.told, l.failed = false, nil
	if err := l.raw.Read(l.step); err != nil {
		return err
	}
	return l.failed
}

// tellOrHear sends the word the first time, for which the runtime then waits, and takes it the second time.
func (l *lung) tellOrHear(fd uintptr) (heard bool) {
	if !l.told {
		l.told = true
		_, l.failed = l.to.Write(l.one[:])
		return l.failed != nil
	}
	_, l.failed = syscall.Read(int(fd), l.one[:])
	return true
}
