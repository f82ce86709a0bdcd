package localcli

import "commensal/internal/species"

// maxCompletions is how many names a shell is offered.
const maxCompletions = 40

// Completions are ids with the name that fits behind a tab, as shells show them.
func Completions(s *species.Snapshot, typed string) []string {
	var out []string
	if typed == "" {
		for i := range s.Len() {
			out = append(out, string(s.At(i).ID)+"\t"+s.At(i).VernacularName("en"))
		}
		return out
	}
	for _, c := range s.Search(typed, maxCompletions) {
		out = append(out, string(c.ID)+"\t"+c.Matched)
	}
	return out
}
