package wording

import (
	"slices"
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// FindingCodes are the codes that a finding may have, in alphabetical order: those of pairings, and all that have a
// sentence in the table, but for those with a dot, which say other things.
func FindingCodes() []stocking.Code {
	out := stocking.PairingCodes()
	for _, t := range [...]conflict.Table{englishTable, englishOutlook} {
		for code := range t.Sentences {
			if !strings.Contains(string(code), ".") {
				out = append(out, code)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
