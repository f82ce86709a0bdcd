//go:build !linux

package loadtest

import (
	"os/exec"
	"time"
)

// Processors are those that this process may run on, in order of number. Where there is no way to
// choose among them there are none.
func Processors() []int { return nil }

// Pin keeps this process on one processor, with all its threads, where there is a way to.
func Pin(int) error { return nil }

// StartOn starts a program on one processor, where there is a way to.
func StartOn(_ int, cmd *exec.Cmd) error { return cmd.Start() }

// CPU is how much time of processors a process has used, with all its threads and the children that it has seen end.
// Where the system does not say, ok is false.
func CPU(int) (used time.Duration, ok bool) { return 0, false }

// CPUOfTree is [CPU] of a process with all that descend from it.
func CPUOfTree(int) (used time.Duration, ok bool) { return 0, false }
