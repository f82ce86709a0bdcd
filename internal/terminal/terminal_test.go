package terminal

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func env(pairs ...string) Getenv {
	return func(name string) string {
		for i := 0; i+1 < len(pairs); i += 2 {
			if pairs[i] == name {
				return pairs[i+1]
			}
		}
		return ""
	}
}

func TestTheWidthIsThatOfTheTerminal(t *testing.T) {
	pipe, _, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer pipe.Close()
	for columns, want := range map[string]int{"": Customary, "abc": Customary, "-3": Customary, "0": Customary, "20": 40, "100": 100, "500": 160} {
		if got := TextWidth(pipe, env("COLUMNS", columns)); got != want {
			t.Errorf("COLUMNS=%q: %d, want %d", columns, got, want)
		}
	}
	if n, ok := Columns(pipe, env()); ok {
		t.Errorf("a pipe has %d columns", n)
	}
	if n, ok := Columns(&bytes.Buffer{}, env("COLUMNS", "500")); !ok || n != 500 {
		t.Errorf("%d %v", n, ok)
	}
	if Watched(pipe, env()) || Watched(&bytes.Buffer{}, env()) {
		t.Error("somebody watches a pipe")
	}
}

func TestATableFitsAndLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(t, "columns of the table")
		rows := rapid.SliceOfN(rapid.SliceOfN(rapid.StringMatching(`[a-zé,]{0,12}( [a-z]{1,9}){0,4}`), n, n), 1, 6).Draw(t, "rows")
		width := rapid.IntRange(leastColumn*n+gap*(n-1), 100).Draw(t, "width")
		var free, narrow bytes.Buffer
		if WriteTable(&free, 0, rows) != nil || WriteTable(&narrow, width, rows) != nil {
			t.Fatal("not written")
		}
		if got := strings.Count(free.String(), "\n"); got != len(rows) {
			t.Errorf("without a limit %d rows take %d lines", len(rows), got)
		}
		for line := range strings.Lines(narrow.String()) {
			if got := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); got > width {
				t.Errorf("a line of %d in %d columns: %q", got, width, line)
			}
		}
		if letters(narrow.String()) != letters(free.String()) {
			t.Errorf("letters are lost:\n%s\n%s", narrow.String(), free.String())
		}
	})
}

// letters counts the letters of a text.
func letters(text string) (n [256]int) {
	for _, r := range text {
		if r != ' ' && r != '\n' {
			n[r%256]++
		}
	}
	return n
}

func TestATableNarrowsItsWidestColumn(t *testing.T) {
	var b bytes.Buffer
	rows := [][]string{{"KEY", "SCOPES", "STATE"}, {"abc", "tanks:read,tanks:write,checks:read", "good until 2027-01-01"}}
	if err := WriteTable(&b, 40, rows); err != nil {
		t.Fatal(err)
	}
	const want = "KEY  SCOPES            STATE\nabc  tanks:read,       good until\n     tanks:write,      2027-01-01\n     checks:read\n"
	if b.String() != want {
		t.Errorf("%q", b.String())
	}
}

// clock is a time that a test turns on.
type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }

func TestProgressSaysWhatIsLeft(t *testing.T) {
	c := &clock{time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC)}
	var out bytes.Buffer
	p := &Progress{to: &out, now: c.now, what: "articles", counted: true, of: 20_000, begun: c.at, at: c.at}
	p.show()
	if out.Len() > 0 {
		t.Errorf("at once: %q", out.String())
	}
	c.at = c.at.Add(2 * time.Second)
	for _, step := range []struct {
		done int
		more time.Duration
		want string
	}{
		{0, 0, "0 of 20000 articles, 2 s so far"}, {5000, 0, "5000 of 20000 articles, about 6 s left"}, {5000, 0, "5000 of 20000 articles, about 6 s left"},
		{20_000, time.Second, "20000 of 20000 articles, about 1 s left"},
	} {
		c.at = c.at.Add(step.more)
		p.Done(step.done)
		out.Reset()
		if p.show(); out.String() != "\r\x1b[K"+step.want {
			t.Errorf("%q, want %q", out.String(), step.want)
		}
	}
	out.Reset()
	p.End()
	if out.String() != "\r\x1b[K" {
		t.Errorf("at the end: %q", out.String())
	}
}

func TestProgressOfStepsCountsDown(t *testing.T) {
	c := &clock{time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC)}
	p := &Progress{to: &bytes.Buffer{}, now: c.now, of: 6, begun: c.at, at: c.at}
	p.Step("fitting", 1)
	c.at = c.at.Add(10 * time.Second)
	if got := p.text(c.at); got != "fitting, 10 s so far" {
		t.Errorf("%q", got)
	}
	p.Step("fitting without each group", 5)
	if got := p.text(c.at); got != "fitting without each group, about 50 s left" {
		t.Errorf("%q", got)
	}
	c.at = c.at.Add(20 * time.Second)
	if got := p.text(c.at); got != "fitting without each group, about 30 s left" {
		t.Errorf("%q", got)
	}
}

func TestNothingIsShownInAPipe(t *testing.T) {
	var out bytes.Buffer
	p := Count(&out, env(), "lists", 10)
	p.begun = p.begun.Add(-time.Minute)
	p.Done(3)
	p.End()
	p.End()
	if out.Len() > 0 {
		t.Errorf("%q", out.String())
	}
}
