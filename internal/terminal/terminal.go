// Package terminal knows what stands at the other end of a command: a terminal of some width with somebody before it, or a pipe. It
// tells how wide lines may be, lays tables out, and shows how far long work has come. There is no colour, with NO_COLOR or without:
// what a command says is told in words. Nothing but text goes into a pipe.
package terminal

import (
	"io"
	"os"
	"strconv"

	"golang.org/x/term"
)

// Customary is the width of a plain terminal, in characters, in which text for people is written where no other is known.
const Customary = 80

// The narrowest and the widest lines that text is laid out in: below words do not fit, above nobody follows a line.
const narrowest, widest = 40, 160

// Getenv reads the environment.
type Getenv func(string) string

// Columns is how wide a terminal is, in characters: as COLUMNS says, else as the terminal itself does. ok is false for a pipe or a
// file without either: there nothing limits a line.
func Columns(w io.Writer, env Getenv) (n int, ok bool) {
	if n, err := strconv.Atoi(env("COLUMNS")); err == nil && n > 0 {
		return n, true
	}
	if f, is := w.(*os.File); is {
		if n, _, err := term.GetSize(int(f.Fd())); err == nil && n > 0 {
			return n, true
		}
	}
	return 0, false
}

// TextWidth is how wide text for people is laid out, in characters: as wide as the terminal within what can be read, [Customary] in
// a pipe.
func TextWidth(w io.Writer, env Getenv) int {
	n, ok := Columns(w, env)
	if !ok {
		return Customary
	}
	return min(max(n, narrowest), widest)
}

// Watched reports whether w is a terminal that can take back what it shows, with somebody before it.
func Watched(w io.Writer, env Getenv) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd())) && env("TERM") != "dumb"
}
