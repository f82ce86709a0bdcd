package wording

import (
	"strings"

	"commensal/internal/species"
	"commensal/internal/stocking"
)

// Change is a change as a sentence. Where another line is of the same kind, it says which is meant:
// the males, those that are about to join.
func (w Words) Change(c *stocking.Change, lines []stocking.Line) string {
	text := w.lang.words.Say(c.Statement)
	if c.Line < 0 || c.Line >= len(lines) || c.Statement.Actor == nil {
		return w.named(text, &c.Statement, nil, "", maxNamed)
	}
	if which := which(lines, c.Line); which != "" {
		name := pluralOf(c.Statement.Actor)
		text = strings.ReplaceAll(text, "{kinds}", which+name)
		text = strings.ReplaceAll(text, "{n_kinds}", strings.Replace(numbered(&c.Statement), " ", " "+which, 1))
	}
	return w.named(text, &c.Statement, nil, "", maxNamed)
}

// which tells a line from others of its kind, with a space behind; empty where it is the only one,
// or nothing that is short tells it.
func which(lines []stocking.Line, line int) string {
	l, sexes, joins := &lines[line], false, false
	for i := range lines {
		if o := &lines[i]; i != line && o.Index == l.Index {
			sexes = sexes || o.Sex != l.Sex
			joins = joins || o.Incoming != l.Incoming
		}
	}
	out := ""
	if joins && l.Incoming {
		out = "new "
	}
	if sexes && l.Sex != species.Unsexed {
		out += l.Sex.String() + " "
	}
	return out
}
