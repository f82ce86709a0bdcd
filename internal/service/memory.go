package service

import (
	"log/slog"
	"runtime/debug"

	"github.com/KimMachineGun/automemlimit/memlimit"
)

const (
	// memoryShare is the part of a container's memory that the service may fill: the rest
	// is for what the Go runtime does not count.
	memoryShare = 0.8
	// machineShare is the part of a whole machine: others live there too, PostgreSQL above
	// all.
	machineShare = 0.5
	// servingGC lets the heap grow to three times what is live before garbage is
	// collected: answers to lists make much of it, and what is live is small and bounded.
	// Near the memory limit the collector works more often by itself. See commensal bench.
	servingGC = 200
)

// CollectSeldom trades memory for time, unless GOGC says what is wanted.
func CollectSeldom(getenv func(string) string) {
	if getenv("GOGC") == "" {
		debug.SetGCPercent(servingGC)
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
