package stocking

import (
	"strings"

	"commensal/internal/conflict"
)

// Event is an event of an outlook as a sentence: when, how grave, and what.
func (w Words) Event(e *Event) string {
	lead := w.Sentence(e.When)
	if e.Kind == PairingRises || e.Kind == OwnKindRises {
		level := w.Sentence(conflict.Statement{Code: OutlookLevel, Evidence: []conflict.Evidence{
			{Name: "level", Value: float64(e.Level), Unit: "level"}}})
		lead += ", " + strings.ToLower(level)
	}
	return lead + ": " + w.Sentence(e.What)
}
