package main

import (
	"bytes"
	"fmt"
	"os"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// ownTime is what this process has taken of processors so far.
func ownTime() (time.Duration, error) {
	var usage syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &usage); err != nil {
		return 0, err
	}
	return time.Duration(usage.Utime.Nano() + usage.Stime.Nano()), nil
}

// tick is the unit of times in /proc/PID/stat: Linux tells every program of a hundred a second.
const tick = 10 * time.Millisecond

// treeTime is what a process and its children, those that have ended too, have taken of processors so far.
func treeTime(pid int) (time.Duration, error) {
	sum, err := statTime(pid)
	if err != nil {
		return 0, err
	}
	children, err := os.ReadFile(fmt.Sprintf("/proc/%d/task/%d/children", pid, pid))
	if err != nil {
		return 0, err
	}
	for _, text := range strings.Fields(string(children)) {
		child, err := strconv.Atoi(text)
		if err != nil {
			return 0, err
		}
		if took, err := statTime(child); err == nil { // else it has ended just now
			sum += took
		}
	}
	return sum, nil
}

// Places of fields in /proc/PID/stat behind the name, from 0.
const userTime, systemTime, childrenUser, childrenSystem = 11, 12, 13, 14

func statTime(pid int) (time.Duration, error) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return 0, err
	}
	fields := strings.Fields(string(text[bytes.LastIndexByte(text, ')')+1:]))
	var ticks int64
	for _, at := range [...]int{userTime, systemTime, childrenUser, childrenSystem} {
		if at >= len(fields) {
			return 0, fmt.Errorf("/proc/%d/stat has only %d fields", pid, len(fields))
		}
		n, err := strconv.ParseInt(fields[at], 10, 64)
		if err != nil {
			return 0, err
		}
		ticks += n
	}
	return time.Duration(ticks) * tick, nil
}
