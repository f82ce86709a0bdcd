package service

import (
	"log/slog"

	"commensal/internal/auth"
)

// hideKeys masks, in all that is logged, what might be a key: people put them into paths,
// names and headers by mistake.
func hideKeys(_ []string, a slog.Attr) slog.Attr {
	switch a.Value.Kind() {
	case slog.KindString:
		a.Value = slog.StringValue(auth.Redact(a.Value.String()))
	case slog.KindAny:
		if err, ok := a.Value.Any().(error); ok {
			a.Value = slog.StringValue(auth.Redact(err.Error()))
		}
	default: // numbers and times hold no key
	}
	return a
}
