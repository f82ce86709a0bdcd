package moment

import (
	"testing"
	"time"
)

func TestADayOrATimeIsRead(t *testing.T) {
	utc := func(day, hour, minute int) time.Time { return time.Date(2026, 11, day, hour, minute, 0, 0, time.UTC) }
	for text, want := range map[string]struct {
		at, end, day time.Time
		whole        bool
	}{
		"2026-11-30":                    {utc(30, 0, 0), utc(31, 0, 0), utc(30, 0, 0), true},
		"2026-11-30T14:05:00Z":          {utc(30, 14, 5), utc(30, 14, 5), utc(30, 0, 0), false},
		"2026-11-30t14:05:00z":          {utc(30, 14, 5), utc(30, 14, 5), utc(30, 0, 0), false},
		"2026-11-30T00:30:00+01:00":     {utc(29, 23, 30), utc(29, 23, 30), utc(30, 0, 0), false},
		"2026-11-30T14:05:00.000-00:00": {utc(30, 14, 5), utc(30, 14, 5), utc(30, 0, 0), false},
	} {
		m, err := Parse(text)
		if err != nil || !m.At.Equal(want.at) || !m.End().Equal(want.end) || !m.Day().Equal(want.day) || m.WholeDay != want.whole {
			t.Errorf("%q: %+v, ends %v, on %v, %v", text, m, m.End(), m.Day(), err)
		}
	}
}

func TestWhatIsNoDayAndNoTimeIsRefused(t *testing.T) {
	for _, text := range []string{"", "yesterday", "30.11.2026", "11/30/2026", "2026-11-31", "2026-13-01", "2026-11-30T14:00", "2026-11-30 14:00:00", "2026-11-30T14:00:00",
		"2026-11-30T14:00:00 01:00", "2026-11-30T25:00:00Z", "0000-01-01", "0000-12-31T23:00:00Z", "9999-12-31T23:59:59-01:00", "20261130", "2026-11-30T14:00:60Z", " 2026-11-30"} {
		if m, err := Parse(text); err == nil || err.Error() != Help() {
			t.Errorf("%q: %+v %v", text, m, err)
		}
	}
}
