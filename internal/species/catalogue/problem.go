package catalogue

import (
	"fmt"

	"commensal/internal/species"
)

// Severity says what a problem asks for.
type Severity string

// The severities. A catalogue with an error must not be loaded; what is marked for
// review is unusual, and somebody who knows the fish should look at it once.
const (
	SeverityError  Severity = "error"
	SeverityReview Severity = "review"
)

// Problem is one thing that verification found.
type Problem struct {
	Severity Severity   `json:"severity"`
	Species  species.ID `json:"species,omitempty"` // empty for words and sources
	Field    string     `json:"field"`             // for example "trait length"
	Detail   string     `json:"detail"`
}

// String is the problem on one line.
func (p Problem) String() string {
	if p.Species == "" {
		return fmt.Sprintf("%s: %s: %s", p.Severity, p.Field, p.Detail)
	}
	return fmt.Sprintf("%s: %s: %s: %s", p.Severity, p.Species, p.Field, p.Detail)
}

// HasErrors reports whether any of the problems is an error.
func HasErrors(problems []Problem) bool {
	for _, p := range problems {
		if p.Severity == SeverityError {
			return true
		}
	}
	return false
}
