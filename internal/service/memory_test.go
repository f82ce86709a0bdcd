package service

import "testing"

func TestTheHeapIsCollectedMoreOftenWhereMoreIsLive(t *testing.T) {
	const mib = 1 << 20
	for live, want := range map[uint64]int{0: servingGC, 20 * mib: servingGC, heapAim / 5: servingGC, 48 * mib: 200, 72 * mib: 100, 90 * mib: 60, heapAim: leastGC, 1 << 40: leastGC} {
		if got := pace(live); got != want {
			t.Errorf("%d bytes live: %d, want %d", live, got, want)
		}
	}
	for live := uint64(heapAim / 5); live < heapAim*2/3; live += mib {
		if heap := live + live*uint64(pace(live))/100; heap > heapAim {
			t.Errorf("%d bytes live: the heap grows to %d", live, heap)
		}
	}
}
