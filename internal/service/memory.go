package service

import (
	"context"
	"log/slog"
	"runtime/debug"
	"runtime/metrics"
	"time"

	"github.com/KimMachineGun/automemlimit/memlimit"
)

const (
	// memoryShare is the part of a container's memory that the service may fill: the rest
	// is for what the Go runtime does not count.
	memoryShare = 0.8
	// machineShare is the part of a whole machine: others live there too, PostgreSQL above
	// all.
	machineShare = 0.5
	// servingGC lets the heap grow to five times what is live before garbage is
	// collected: answers make much of it, and what is live is small and bounded. While it is collected, which takes tens of
	// milliseconds, there is half a processor for answers: that is what the slowest in a hundred wait for.
	// Near the memory limit the collector works more often by itself. See commensal bench.
	servingGC = 400
	// heapAim is how many bytes the heap may grow to before it is collected more often than that: a service that
	// answers at random for hours then has less than 256 MB resident. See cmd/overload.
	heapAim = 144 << 20
	// leastGC is how often it is collected at the most for that; more of what is live needs more memory.
	leastGC = 50
	// lookAtHeap is how often that is looked at: caches fill within seconds.
	lookAtHeap = time.Second
)

// CollectSeldom trades memory for time, unless GOGC says what is wanted.
func CollectSeldom(getenv func(string) string) {
	if getenv("GOGC") == "" {
		debug.SetGCPercent(servingGC)
	}
}

// pace is how much the heap may grow, in percent of what is live, before garbage is collected: to
// heapAim, but neither more than servingGC nor less than leastGC.
func pace(live uint64) int {
	room := (heapAim - float64(live)) / float64(max(live, 1))
	return int(max(leastGC, min(servingGC, 100*room)))
}

// paceCollector keeps the heap to what it aims at until ctx ends, unless GOGC says what is wanted.
func paceCollector(ctx context.Context, getenv func(string) string) {
	if getenv("GOGC") != "" {
		return
	}
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	at := servingGC
	ticker := time.NewTicker(lookAtHeap)
	defer ticker.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
		metrics.Read(live)
		if now := pace(live[0].Value.Uint64()); max(now, at)-min(now, at) > at/10 { // each change stops the world for a moment
			debug.SetGCPercent(now)
			at = now
		}
	}
}

// boundMemory keeps the service below a memory limit: GOMEMLIMIT, else most of what the
// container may have, else half of the machine.
func boundMemory(getenv func(string) string, log *slog.Logger) {
	if getenv("GOMEMLIMIT") == "" {
		within := memlimit.ApplyFallback(
			memlimit.ApplyRatio(memlimit.FromCgroup, memoryShare), memlimit.ApplyRatio(memlimit.FromSystem, machineShare))
		if _, err := memlimit.Set(memlimit.WithProvider(within), memlimit.WithRatio(1)); err != nil {
			log.Warn("no memory limit is set: neither the container nor the machine says what there is; set GOMEMLIMIT", "error", err)
		}
	}
	log.Debug("memory limit", "bytes", debug.SetMemoryLimit(-1))
}

// giveBack returns to the system what only the start needed: reading the catalogue and compiling
// the contract make several times of what stays.
func giveBack() { debug.FreeOSMemory() }
