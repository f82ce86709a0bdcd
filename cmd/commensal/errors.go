package main

import "fmt"

// usageError is a mistake in what was asked, as opposed to a failure in doing it.
type usageError struct{ err error }

func (e *usageError) Error() string { return e.err.Error() }

// Unwrap gives the cause.
func (e *usageError) Unwrap() error { return e.err }

func usagef(format string, args ...any) error {
	return &usageError{fmt.Errorf(format, args...)}
}

// silentError ends the program with a status where all has been said already.
type silentError struct{ status int }

func (e *silentError) Error() string { return fmt.Sprintf("exit status %d", e.status) }
