//go:build !linux

package main

import (
	"errors"
	"time"
)

var errOnlyLinux = errors.New("what processes take of processors is read from Linux's /proc: measure there")

func ownTime() (time.Duration, error) { return 0, errOnlyLinux }

func treeTime(int) (time.Duration, error) { return 0, errOnlyLinux }
