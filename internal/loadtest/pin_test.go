package loadtest

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// What is started on a processor stays there, and so does what it starts; this process stays where it was.
func TestAProgramStaysOnItsProcessor(t *testing.T) {
	before := Processors()
	if len(before) == 0 {
		t.Skip("this system does not let a process choose")
	}
	last := before[len(before)-1]
	for processor, want := range map[int]string{last: strconv.Itoa(last), -1: ""} {
		var out bytes.Buffer
		cmd := exec.CommandContext(t.Context(), "sh", "-c", "grep Cpus_allowed_list /proc/self/status")
		cmd.Stdout = &out
		if err := StartOn(processor, cmd); err != nil {
			t.Fatal(err)
		}
		if err := cmd.Wait(); err != nil {
			t.Fatal(err)
		}
		_, list, _ := strings.Cut(out.String(), ":")
		if list = strings.TrimSpace(list); want != "" && list != want {
			t.Errorf("started on %d it may run on %s", processor, list)
		}
	}
	if after := Processors(); !slices.Equal(after, before) {
		t.Errorf("this process may run on %v now, on %v before", after, before)
	}
}

// What this process burns is counted, and what it sleeps is not.
func TestTheTimeOfAProcessIsThatOfItsProcessors(t *testing.T) {
	before, ok := CPU(os.Getpid())
	if !ok {
		t.Skip("this system does not say")
	}
	used := func() time.Duration { now, _ := CPU(os.Getpid()); return now - before }
	for used() < 30*time.Millisecond { // ends when it is counted
	}
	if _, ok := CPU(-1); ok {
		t.Error("a process that is none has used time")
	}
	if _, ok := CPUOfTree(-1); ok {
		t.Error("the tree of a process that is none has used time")
	}
}

// What a grandchild burns counts for the tree while it lives, and not for this process.
func TestTheTimeOfATreeIsThatOfAllInIt(t *testing.T) {
	before, ok := CPUOfTree(os.Getpid())
	if !ok {
		t.Skip("this system does not say")
	}
	cmd := exec.CommandContext(t.Context(), "sh", "-c", "(while :; do :; done) & read stop; kill $!")
	stop, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	for {
		used, _ := CPUOfTree(os.Getpid())
		if alone, _ := CPU(os.Getpid()); used-before > alone+30*time.Millisecond { // ends when the grandchild is counted
			break
		}
	}
	if err := errors.Join(stop.Close(), cmd.Wait()); err != nil && cmd.ProcessState.ExitCode() != 0 {
		t.Log(err)
	}
}
