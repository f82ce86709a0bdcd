package service

import "runtime"

// listeners is how many processors Go is told of beyond those that there are. Lists are judged by as many at once as there are
// processors, and a long one beside them; while they compute, what comes in is still read, refused or answered by
// threads that the system lets run at once, and does not wait until Go's own scheduler takes a processor
// away, which it does after 10 ms, from one after the other.
const listeners = 2

// spareProcessors makes room for what must not wait behind lists, unless GOMAXPROCS says what is wanted. It returns how many
// processors there are for lists: what the machine or the container has.
func spareProcessors(getenv func(string) string) int {
	if getenv("GOMAXPROCS") != "" {
		return runtime.GOMAXPROCS(0)
	}
	runtime.SetDefaultGOMAXPROCS() // where it ran before in this process
	n := runtime.GOMAXPROCS(0)
	runtime.GOMAXPROCS(n + listeners)
	return n
}
