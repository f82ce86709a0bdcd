package wire

import (
	"encoding/json"
	"fmt"
	"time"

	"commensal/api/gen"
	"commensal/internal/moment"
)

// Optional is nil for an empty text.
func Optional[T ~string](text T) *T {
	if text == "" {
		return nil
	}
	return &text
}

// Present is a pointer to a value, or nil for zero.
func Present[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}

// Value is what a pointer points at, or the zero value.
func Value[T any](p *T) (v T) {
	if p != nil {
		v = *p
	}
	return v
}

// Mapped applies a function to each entry of a list; an empty list is [] on the wire.
func Mapped[T, U any](list []T, f func(T) U) []U {
	out := make([]U, len(list))
	for i, x := range list {
		out[i] = f(x)
	}
	return out
}

// MappedAll is mapped for a function that may fail.
func MappedAll[T, U any](list []T, f func(T) (U, error)) ([]U, error) {
	out := make([]U, len(list))
	for i, x := range list {
		var err error
		if out[i], err = f(x); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// ListOrEmpty is never nil: an empty list is [] on the wire, not null.
func ListOrEmpty(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// Instant is nil for the zero time.
func Instant(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	t = t.UTC()
	return &t
}

// DecodeStored reads a document that was checked against the contract when it was stored.
func DecodeStored(text json.RawMessage, into any) error {
	if err := json.Unmarshal(text, into); err != nil {
		return fmt.Errorf("api: a stored document is not as the contract has it: %w", err)
	}
	return nil
}

// InUS reports whether US values are wanted beside the SI ones in words.
func InUS(units *gen.UnitSystem) bool { return units != nil && *units == gen.Us }

// Begin is when a day or a time of a request begins; nil for none. The contract lets nothing else through.
func Begin(text *gen.DayOrTime) *time.Time {
	if text == nil {
		return nil
	}
	m, _ := moment.Parse(*text)
	return &m.At
}

// End is the time, or the end of the day, of a request; nil for none.
func End(text *gen.DayOrTime) *time.Time {
	if text == nil {
		return nil
	}
	m, _ := moment.Parse(*text)
	end := m.End()
	return &end
}
