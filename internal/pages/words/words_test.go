package words

import "testing"

func TestSay(t *testing.T) {
	w := English()
	for _, c := range []struct{ got, want string }{
		{w.Say("pair.with", "first", "{second}", "second", "x"), "{second} with x"}, // a value is not filled again
		{w.Say("no.such.key"), "{no.such.key}"},
		{w.Say("to", "low", 1.5), "1.5 to {high}"},
		{w.Count("list.more", 1), "1 other point"},
		{w.Count("list.more", 3), "3 other points"},
		{w.Join([]string{"a", "b", "c"}), "a, b and c"},
		{w.SayOr("no.such.key", "other"), "other"},
		{Number(-0.004), "0"}, {Number(-1.5), "−1.5"}, {Number(10), "10"},
		{Clip("abcdef", 4), "abc…"}, {Clip("abc", 4), "abc"},
	} {
		if c.got != c.want {
			t.Errorf("%q, not %q", c.got, c.want)
		}
	}
}
