package main

import (
	"io"
	"log/slog"
	"time"
)

// newLog writes the log of the service, a line of JSON for each event. Times that something
// took carry their unit, as in "152.9ms": a bare number would leave it to be guessed.
func newLog(w io.Writer, level slog.Level) *slog.Logger {
	return slog.New(slog.NewJSONHandler(w, &slog.HandlerOptions{Level: level, ReplaceAttr: withUnit}))
}

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
