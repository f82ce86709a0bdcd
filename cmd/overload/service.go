package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"syscall"
	"time"

	"commensal/internal/loadtest"
)

// service is the program, with a private PostgreSQL and a log in a folder of its own.
type service struct {
	cmd    *exec.Cmd
	out    io.ReadCloser
	folder string
	addr   string
}

// endTime is how long a service may take to end.
const endTime = 30 * time.Second

// start starts the program on the first processor, where there are several, and waits until it answers.
func start(ctx context.Context, program string) (s *service, err error) {
	s = &service{}
	if s.folder, err = os.MkdirTemp("", "commensal-overload-"); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, s.end())
		}
	}()
	if err := os.Chmod(s.folder, 0o755); err != nil { // as root, PostgreSQL runs as somebody else
		return nil, err
	}
	log, err := os.OpenFile(s.folder+"/log", os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600)
	if err != nil {
		return nil, err
	}
	defer log.Close()
	cmd := exec.CommandContext(ctx, program, "serve", "--addr", "127.0.0.1:0", "--metrics-addr", "off", "--data-dir", s.folder+"/data",
		"--rate-limit", "0", "--key-rate-limit", "0", "--drain-delay", "0s")
	cmd.Cancel = func() error { return cmd.Process.Signal(syscall.SIGTERM) }
	cmd.Stderr = log
	if s.out, err = cmd.StdoutPipe(); err != nil {
		return nil, err
	}
	processor := -1
	if all := loadtest.Processors(); len(all) > 1 {
		processor = all[0]
	}
	if err := loadtest.StartOn(processor, cmd); err != nil {
		return nil, err
	}
	s.cmd = cmd
	_, heard := bufio.NewReader(s.out).ReadString('\n') // it says where it answers, when it does
	return s, s.findAddress(heard)
}

// findAddress reads from the log where the service answers.
func (s *service) findAddress(heard error) error {
	text, err := os.ReadFile(s.folder + "/log")
	if err != nil {
		return err
	}
	for line := range bytes.Lines(text) {
		var said struct{ Msg, Addr string }
		if json.Unmarshal(line, &said) == nil && said.Msg == "ready" {
			s.addr = said.Addr
			return nil
		}
	}
	return errors.Join(fmt.Errorf("the service does not begin: %s", text), heard)
}

// end asks the service to end, waits for it and removes what it kept.
func (s *service) end() (err error) {
	if s.cmd != nil {
		_ = s.cmd.Process.Signal(syscall.SIGTERM) // it may have ended already
		late := time.AfterFunc(endTime, func() { _ = s.cmd.Process.Kill() })
		defer late.Stop()
		_, _ = io.Copy(io.Discard, s.out)
		err = s.cmd.Wait()
	}
	return errors.Join(err, os.RemoveAll(s.folder))
}
