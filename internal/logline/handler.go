package logline

import (
	"context"
	"log/slog"
	"math"
	"strconv"
	"sync"
	"time"
)

// Handler writes records of texts, numbers and truths without reflection, with the very bytes of [slog.JSONHandler]; it leaves all
// others to that.
type Handler struct {
	plain slog.Handler // for what is not simple
	to    *Writer
	mask  func(string) string
	with  bool // attributes or groups were added, which only plain knows
}

// Seldom makes a handler whose lines are held. They look as those of a [slog.JSONHandler] with the options, where replace does to a
// text what mask does, and leaves numbers and truths as they are.
func (w *Writer) Seldom(options *slog.HandlerOptions, mask func(string) string) *Handler {
	return &Handler{plain: slog.NewJSONHandler(holder{w}, options), to: w, mask: mask}
}

var _ slog.Handler = (*Handler)(nil)

// Enabled reports whether lines of a level are written.
func (h *Handler) Enabled(ctx context.Context, level slog.Level) bool {
	return h.plain.Enabled(ctx, level)
}

// WithAttrs adds attributes to every line.
func (h *Handler) WithAttrs(attrs []slog.Attr) slog.Handler {
	return &Handler{plain: h.plain.WithAttrs(attrs), to: h.to, mask: h.mask, with: true}
}

// WithGroup puts what comes into a group.
func (h *Handler) WithGroup(name string) slog.Handler {
	return &Handler{plain: h.plain.WithGroup(name), to: h.to, mask: h.mask, with: true}
}

// lines are buffers for one line each.
var lines = sync.Pool{New: func() any { b := make([]byte, 0, 1<<10); return &b }}

// Handle writes a record: one of a warning or worse at once, after all that was held, and others soon.
func (h *Handler) Handle(ctx context.Context, r slog.Record) error {
	buf := lines.Get().(*[]byte)
	defer lines.Put(buf)
	line, simple := h.line((*buf)[:0], &r)
	*buf = line[:0]
	var err error
	if simple {
		err = h.to.hold(line)
	} else {
		err = h.plain.Handle(ctx, r)
	}
	if err == nil && r.Level >= slog.LevelWarn {
		return h.to.Flush()
	}
	return err
}

// line appends the line of a record; false where it is not a simple one.
func (h *Handler) line(b []byte, r *slog.Record) (line []byte, simple bool) {
	if h.with || r.Time.IsZero() || r.Level != slog.LevelInfo || !plainText(r.Message) {
		return b, false
	}
	b = append(b, `{"time":"`...)
	b = r.Time.Round(0).AppendFormat(b, time.RFC3339Nano)
	b = append(b, `","level":"INFO","msg":"`...)
	b = append(b, r.Message...)
	b = append(b, '"')
	simple = true
	r.Attrs(func(a slog.Attr) bool {
		if simple = plainText(a.Key) && a.Key != ""; !simple {
			return false
		}
		b = append(b, `,"`...)
		b = append(b, a.Key...)
		b = append(b, `":`...)
		b, simple = h.value(b, a.Value)
		return simple
	})
	return append(b, "}\n"...), simple
}

// value appends a value; false where it is not a simple one.
func (h *Handler) value(b []byte, v slog.Value) ([]byte, bool) {
	switch v.Kind() {
	case slog.KindString:
		text := h.mask(v.String())
		if !plainText(text) {
			return b, false
		}
		b = append(b, '"')
		b = append(b, text...)
		return append(b, '"'), true
	case slog.KindInt64:
		return strconv.AppendInt(b, v.Int64(), 10), true
	case slog.KindBool:
		return strconv.AppendBool(b, v.Bool()), true
	case slog.KindFloat64:
		x := v.Float64()
		if size := math.Abs(x); x != 0 && !(size >= 1e-6 && size < 1e21) { // JSON writes it with an exponent, or not at all
			return b, false
		}
		return strconv.AppendFloat(b, x, 'f', -1, 64), true
	}
	return b, false
}

// plainText reports a text that stands in JSON as it is.
func plainText(s string) bool {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c >= 0x7f || c == '"' || c == '\\' {
			return false
		}
	}
	return true
}
