//go:build unix && !linux

package localpg

import "syscall"

// setDeathSignal does nothing where the kernel has no such signal: a server that
// outlives its service is stopped by the next start.
func setDeathSignal(*syscall.SysProcAttr) {}
