package admission

import (
	"testing"
	"time"
)

// The first work of a process is slow, and is no measure of what follows.
func TestColdWorkIsNoMeasure(t *testing.T) {
	var p pace
	p.learn(50*time.Millisecond, 1)
	for range cold - 1 {
		if got := p.of(1); got != 0 {
			t.Errorf("it is said to take %v", got)
		}
		p.learn(time.Millisecond, 2)
	}
	if got := p.of(4); got != 2*time.Millisecond {
		t.Errorf("after cold work: %v", got)
	}
	p.learn(10*time.Millisecond, 1)
	if got := p.of(1); got < 974*time.Microsecond || got > 976*time.Microsecond { // a twentieth of the way from 0.5 ms to 10 ms
		t.Errorf("after slower work: %v", got)
	}
}
