package conflict

import (
	"maps"
	"unicode/utf8"

	"commensal/internal/species"
)

// Table holds sentences and words that another package adds to a language.
type Table struct {
	Sentences map[Code]string
	Words     map[WordCode]string
}

// With is the same language with another package's table added, whose entries win.
// It copies the tables: call it once, not for every answer.
func (w Words) With(t Table) Words {
	lang := *w.lang
	lang.sentences = maps.Clone(lang.sentences)
	maps.Copy(lang.sentences, t.Sentences)
	lang.words = maps.Clone(lang.words)
	maps.Copy(lang.words, t.Words)
	w.lang = &lang
	return w
}

// Say is [Words.Sentence] for a statement that may concern one species or none.
func (w Words) Say(s Statement) string {
	return w.fill(w.lang.sentences[s.Code], s, w.nameOf(s.Actor), w.nameOf(s.Other))
}

// Short is [Words.Say] in at most limit characters, see [Words.FillShort].
func (w Words) Short(s Statement, limit int) string {
	return w.FillShort(w.lang.sentences[s.Code], s, limit)
}

// Fill writes a template that is not in the table with the values of a statement.
func (w Words) Fill(template string, s Statement) string {
	return w.fill(template, s, w.nameOf(s.Actor), w.nameOf(s.Other))
}

// FillShort is [Words.Fill] in at most limit characters where shortening the two
// names, down to eight characters each, can achieve that.
func (w Words) FillShort(template string, s Statement, limit int) string {
	const shortest = 8
	actor, other := w.nameOf(s.Actor), w.nameOf(s.Other)
	longest := max(utf8.RuneCountInString(actor), utf8.RuneCountInString(other))
	for room := max(longest, shortest); ; room-- {
		text := w.fill(template, s, clip(actor, room), clip(other, room))
		if utf8.RuneCountInString(text) <= limit || room == shortest {
			return text
		}
	}
}

// nameOf is the vernacular name of the species, or "" for none.
func (w Words) nameOf(sp *species.Species) string {
	if sp == nil {
		return ""
	}
	return w.name(sp)
}
