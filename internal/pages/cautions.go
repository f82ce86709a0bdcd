package pages

import (
	"slices"

	"commensal/internal/pages/answers"
)

// cautionRow is a danger and the kinds that it is about, each danger once.
type cautionRow struct{ Kinds, Text string }

// cautions gathers the kinds of each danger, in the order in which the dangers come.
func (q *request) cautions(list []answers.Caution) []cautionRow {
	var texts []string
	kinds := map[string][]string{}
	for _, c := range list {
		if !slices.Contains(texts, c.Text) {
			texts = append(texts, c.Text)
		}
		if c.Kind != nil && !slices.Contains(kinds[c.Text], c.Kind.Name) {
			kinds[c.Text] = append(kinds[c.Text], c.Kind.Name)
		}
	}
	out := make([]cautionRow, len(texts))
	for i, text := range texts {
		out[i] = cautionRow{q.words.Join(kinds[text]), text}
	}
	return out
}
