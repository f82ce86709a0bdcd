package service

import (
	"context"
	"errors"
	"time"

	"commensal/internal/logline"
)

// Run starts the service and answers until ctx ends, then ends cleanly: requests under way finish,
// and everything that was started is stopped. Without an error all of it went well; a [SettingError]
// is a setting that cannot be right. It sets the memory limit, the pace of the garbage collector and
// the number of processors for the whole process, so one process runs one service.
func Run(ctx context.Context, set *Settings) error {
	if err := set.Check(); err != nil {
		return err
	}
	begin := time.Now()
	out := logline.NewWriter(set.Log)
	defer func() { _ = out.Flush() }() // there is nobody to tell that the log cannot be written
	log := newLog(out, set.LogLevel)
	CollectSeldom(set.Getenv)
	boundMemory(set.Getenv, log)
	s, err := startService(ctx, set, log, newAccessLog(out, set.LogLevel))
	if err != nil {
		return err
	}
	log.Info("ready", "addr", s.public.Addr().String(), "metrics", s.metricsAddress(),
		"took", time.Since(begin), "postgres_took", s.postgresTime)
	giveBack()
	if set.Ready != nil {
		set.Ready(s.scheme()+"://"+reachable(s.public), s.live.current())
	}
	err = s.wait(ctx)
	log.Info("stopping")
	if err == nil {
		s.drain()
	}
	return errors.Join(err, s.close())
}
