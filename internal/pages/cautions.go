package pages

import (
	"slices"

	"commensal/internal/pages/answers"
	"commensal/internal/species"
)

// cautionRow is a danger and the kinds that it is about, each danger once.
type cautionRow struct{ Kinds, Text string }

// grave are the cautions about people and the law, which stand on a card too.
var grave = []string{string(species.Venomous), string(species.Electric), string(species.Poisonous), string(species.Bites),
	string(species.Regulated), string(species.Invasive)}

// guidance is the last line of a card: the gravest danger to people or matter of law,
// where there is one, and that an answer is no guarantee.
func (q *request) guidance(list []answers.Caution) string {
	usual := q.words.Say("reason.guidance.text")
	for _, code := range grave {
		for _, c := range list {
			if c.Code == code && c.Kind != nil {
				return c.Kind.Name + ": " + c.Text + " " + usual
			}
			if c.Code == code {
				return c.Text + " " + usual
			}
		}
	}
	return usual
}

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
