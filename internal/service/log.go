package service

import (
	"io"
	"log/slog"
	"time"

	"commensal/internal/auth"
	"commensal/internal/logline"
)

// newLog writes the log of the service, a line of JSON for each event. Times that something
// took carry their unit, as in "152.9ms": a bare number would leave it to be guessed.
func newLog(w io.Writer, level slog.Level) *slog.Logger {
	return slog.New(slog.NewJSONHandler(w, logOptions(level)))
}

// newAccessLog writes lines that look the same and are written a little later.
func newAccessLog(w *logline.Writer, level slog.Level) *slog.Logger {
	return slog.New(w.Seldom(logOptions(level), auth.Redact))
}

func logOptions(level slog.Level) *slog.HandlerOptions {
	return &slog.HandlerOptions{Level: level, ReplaceAttr: logged}
}

// logged is what every attribute looks like: times with their unit, nothing that might be a key.
func logged(groups []string, a slog.Attr) slog.Attr { return hideKeys(groups, withUnit(groups, a)) }

func withUnit(_ []string, a slog.Attr) slog.Attr {
	if a.Value.Kind() == slog.KindDuration {
		return slog.String(a.Key, rounded(a.Value.Duration()).String())
	}
	return a
}

// rounded is a time to about four digits.
func rounded(d time.Duration) time.Duration {
	unit := time.Duration(1)
	for d.Abs() >= 10_000*unit {
		unit *= 10
	}
	return d.Round(unit)
}
