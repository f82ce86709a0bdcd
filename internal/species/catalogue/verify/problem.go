package verify

import (
	"fmt"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// Severity says what a problem asks for.
type Severity string

// The severities. A catalogue with an error must not be loaded; what is marked for
// review is unusual, and somebody who knows the fish should look at it once.
const (
	SeverityError  Severity = "error"
	SeverityReview Severity = "review"
	// SeverityReviewed is what somebody looked at and found right, see [Problem.Reason].
	SeverityReviewed Severity = "reviewed"
)

// Problem is one thing that verification found.
type Problem struct {
	Severity Severity    `json:"severity"`
	Species  species.ID  `json:"species,omitempty"` // empty for words and sources
	Field    string      `json:"field"`             // for example "trait length"
	Detail   string      `json:"detail"`
	Reason   string      `json:"reason,omitempty"` // why what was reviewed is right
	Place    entry.Place `json:"place,omitzero"`   // where the text is known
}

// String is the problem on one line, behind its place where that is known.
func (p Problem) String() string {
	parts := make([]string, 0, 5)
	if p.Place.File != "" {
		parts = append(parts, fmt.Sprintf("%s:%d", p.Place.File, p.Place.Line))
	}
	parts = append(parts, string(p.Severity))
	if p.Species != "" {
		parts = append(parts, string(p.Species))
	}
	parts = append(parts, p.Field, p.Detail)
	if p.Reason != "" {
		parts = append(parts, "right because "+p.Reason)
	}
	return strings.Join(parts, ": ")
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
