package loadtest

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"

	"golang.org/x/sys/unix"
)

// Processors are those that this process may run on, in order of number. Where there is no way to
// choose among them there are none.
func Processors() (list []int) {
	var set unix.CPUSet
	if unix.SchedGetaffinity(0, &set) != nil {
		return nil
	}
	for i := range 64 * len(set) { // the most bits it can have
		if set.IsSet(i) {
			list = append(list, i)
		}
	}
	return list
}

// Pin keeps this process on one processor, with all its threads: those to come are as those that make
// them.
func Pin(processor int) error {
	threads, err := os.ReadDir("/proc/self/task")
	if err != nil {
		return fmt.Errorf("loadtest: pin: %w", err)
	}
	set := only(processor)
	for _, thread := range threads {
		id, err := strconv.Atoi(thread.Name())
		if err != nil {
			return fmt.Errorf("loadtest: pin: %w", err)
		}
		if err := unix.SchedSetaffinity(id, &set); err != nil && !errors.Is(err, unix.ESRCH) {
			return fmt.Errorf("loadtest: pin: %w", err)
		}
	}
	return nil
}

func only(processor int) (set unix.CPUSet) {
	set.Set(processor)
	return set
}

// StartOn starts a program on one processor, where it stays with all that it starts; a negative number is
// any. It is asked to end when this process does.
func StartOn(processor int, cmd *exec.Cmd) (err error) {
	if cmd.SysProcAttr == nil {
		cmd.SysProcAttr = &syscall.SysProcAttr{}
	}
	cmd.SysProcAttr.Pdeathsig = syscall.SIGTERM
	if processor < 0 {
		return cmd.Start()
	}
	runtime.LockOSThread() // what is started has the processors of the thread that starts it
	defer runtime.UnlockOSThread()
	var before unix.CPUSet
	if err := unix.SchedGetaffinity(0, &before); err != nil {
		return fmt.Errorf("loadtest: pin: %w", err)
	}
	set := only(processor)
	if err := unix.SchedSetaffinity(0, &set); err != nil {
		return fmt.Errorf("loadtest: pin: %w", err)
	}
	defer func() { err = errors.Join(err, unix.SchedSetaffinity(0, &before)) }()
	return cmd.Start()
}

// ticks are those of a second, in which the system counts the time of processes.
const ticks = 100

// CPU is how much time of processors a process has used, with all its threads and the children that it has seen end.
// Where the system does not say, ok is false.
func CPU(process int) (used time.Duration, ok bool) {
	_, used, ok = stat(process)
	return used, ok
}

// stat reads the parent of a process and what it has used.
func stat(process int) (parent int, used time.Duration, ok bool) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", process))
	if err != nil {
		return 0, 0, false
	}
	_, fields, _ := strings.Cut(string(text), ") ") // the name before may have anything in it
	list := strings.Fields(fields)
	if len(list) < 15 {
		return 0, 0, false
	}
	var sum int64
	for _, field := range list[11:15] { // user and system, of its own and of its ended children
		n, err := strconv.ParseInt(field, 10, 64)
		if err != nil {
			return 0, 0, false
		}
		sum += n
	}
	parent, err = strconv.Atoi(list[1])
	return parent, time.Duration(sum) * time.Second / ticks, err == nil
}

// CPUOfTree is [CPU] of a process with all that descend from it.
func CPUOfTree(root int) (used time.Duration, ok bool) {
	folders, err := os.ReadDir("/proc")
	if err != nil {
		return 0, false
	}
	parents, uses := map[int]int{}, map[int]time.Duration{}
	for _, folder := range folders {
		if id, err := strconv.Atoi(folder.Name()); err == nil {
			if parent, used, ok := stat(id); ok {
				parents[id], uses[id] = parent, used
			}
		}
	}
	for id := range parents {
		above := id
		for above != root && above > 1 {
			above = parents[above]
		}
		if above == root {
			used += uses[id]
		}
	}
	_, ok = uses[root]
	return used, ok
}
