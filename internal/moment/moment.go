// Package moment reads days and times as people and programs write them: one reader for all that the API and the prompt take.
package moment

import (
	"errors"
	"strings"
	"time"
)

// Moment is a day or a time as somebody wrote it.
type Moment struct {
	// At is the time, or the beginning of the day in UTC.
	At time.Time
	// WholeDay says that a day was written and not a time.
	WholeDay bool
}

// errNeither says how a day or a time is written.
var errNeither = errors.New("write a day as in 2026-11-30, or a time with its zone as in 2026-11-30T14:00:00Z or 2026-11-30T14:00:00+01:00 (in a URL, %2B for +)")

// Help says how a day or a time is written, for whoever has to write it anew.
func Help() string { return errNeither.Error() }

// Parse reads a day (2026-11-30) or a time of RFC 3339 (2026-11-30T14:00:00Z), from the year 1 on. Anything else is an
// error that says how to write it.
func Parse(text string) (Moment, error) {
	if day, err := time.Parse(time.DateOnly, text); err == nil && day.Year() > 0 {
		return Moment{At: day, WholeDay: true}, nil
	}
	// RFC 3339 lets the letters be small; the year 9999 is the last that it can write, in every zone.
	at, err := time.Parse(time.RFC3339Nano, strings.ToUpper(text))
	if err != nil || at.UTC().Year() < 1 || at.UTC().Year() > 9999 {
		return Moment{}, errNeither
	}
	return Moment{At: at}, nil
}

// End is the time, or the end of the day, which is the beginning of the next: what lies before it belongs to what was written.
func (m Moment) End() time.Time {
	if m.WholeDay {
		return m.At.AddDate(0, 0, 1)
	}
	return m.At
}

// Day is the day that was written, whatever the zone beside it, as its beginning in UTC.
func (m Moment) Day() time.Time {
	year, month, day := m.At.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}
