package torture

import (
	"os"
	"strconv"
	"testing"
	"time"
)

// variable is the environment variable of a size.
func variable(name string) string { return "COMMENSAL_TORTURE_" + name }

// Size is a number that can be set from outside, else the usual one.
func Size(tb testing.TB, name string, usual int) int {
	tb.Helper()
	text := os.Getenv(variable(name))
	if text == "" {
		return usual
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		tb.Fatalf("%s is %q: it is a number from 1", variable(name), text)
	}
	return n
}

// Span is a time that can be set from outside, else the usual one.
func Span(tb testing.TB, name string, usual time.Duration) time.Duration {
	tb.Helper()
	text := os.Getenv(variable(name))
	if text == "" {
		return usual
	}
	d, err := time.ParseDuration(text)
	if err != nil || d <= 0 {
		tb.Fatalf("%s is %q: it is a time such as 60s", variable(name), text)
	}
	return d
}

// Strict reports whether promised times are asserted. On a machine that does other things
// too they are told only.
func Strict() bool { return os.Getenv(variable("STRICT")) != "" }
