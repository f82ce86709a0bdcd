// Package wording says in sentences what package stocking found: findings, decisions, changes, what is
// to come and what an unclear name comes to. stocking gives codes and values; here is one table of each
// language ([English]) and the names of the kinds, so that a second language is a table.
package wording

import (
	"strings"
	"unicode/utf8"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// SummaryLimit is the greatest length of a summary, in characters.
const SummaryLimit = conflict.SummaryLimit

// language is one language's table for lists.
type language struct {
	words conflict.Words           // its sentences include this package's
	short map[stocking.Code]string // clauses for summaries, where the sentence is too long
	// several are what a finding says of several kinds at once, where that differs.
	several map[stocking.Code]string
	lead    [stocking.Hold + 1]string
	// more follows the sentence that decides, by how many more there are; observed
	// follows that where a disposition was used.
	moreOne, moreMany string
	observed          [3]string // calmer, typical (unused), fiercer
	dot               string
}

// Words turns the statements of a check into sentences in one language and one system
// of units. The zero Words is not usable: see [English].
type Words struct{ lang *language }

// English are the English words; us adds US customary units in brackets.
func English(us bool) Words {
	if us {
		return Words{&englishUS}
	}
	return Words{&english}
}

// Sentence is a statement of package stocking or of package conflict as a sentence.
func (w Words) Sentence(s conflict.Statement) string {
	return w.named(w.lang.words.Say(s), &s, nil, "", maxNamed)
}

// Short is [Words.Sentence] in at most [SummaryLimit] characters.
func (w Words) Short(s conflict.Statement) string {
	if said := w.Sentence(s); utf8.RuneCountInString(said) <= SummaryLimit {
		return said
	}
	return upperFirst(w.clause(s, nil, "", SummaryLimit-1)) + w.lang.dot
}

// Finding is a finding as one sentence of at most [SummaryLimit] characters.
func (w Words) Finding(f *stocking.Finding) string {
	text := w.sentenceOf(f)
	for most := maxNamed; most > 0; most-- {
		if said := w.named(taken(f, text), &f.Statement, f.Kinds, wordOf(f), most); utf8.RuneCountInString(said) <= SummaryLimit {
			return said
		}
	}
	clause := w.clauseOf(f, f.Statement, SummaryLimit-1)
	return upperFirst(clause) + w.lang.dot
}

// sentenceOf is the sentence of a finding, in which the names are still to be filled in.
func (w Words) sentenceOf(f *stocking.Finding) string {
	if template, ok := w.lang.several[f.Code()]; ok && len(f.Kinds) > 1 {
		return w.lang.words.Fill(template, f.Statement)
	}
	if f.Other != nil && f.Other.Animal != nil && f.Other.Animal.Sentence != "" {
		return f.Other.Animal.Sentence
	}
	return w.lang.words.Say(f.Statement)
}

// wordOf is the name that the caller wrote, for a line that is not judged.
func wordOf(f *stocking.Finding) string {
	if f.Other == nil {
		return ""
	}
	return f.Other.Word
}

// taken adds to the name in a text what it was taken for, where it has a slip in it.
func taken(f *stocking.Finding, text string) string {
	if f.Other == nil || f.Other.Taken == "" {
		return text
	}
	return strings.Replace(text, "{word}", "{word} ("+f.Other.Taken+")", 1)
}

// OtherGood says of a name that is no fish of the catalogue what it is, and why it is not judged, in at most [SummaryLimit]
// characters.
func (w Words) OtherGood(o *species.OtherGood, name string) string {
	other := stocking.Other{Word: name, Good: o.Kind, Animal: o.Animal}
	if o.Misspelt {
		other.Taken = o.Word
	}
	f := stocking.Finding{Other: &other}
	f.Statement.Code = stocking.GoodCode(o.Kind)
	return upperFirst(w.Finding(&f))
}

// Remembering are the same words for one answer, see [conflict.Words.Remembering].
func (w Words) Remembering() Words {
	lang := *w.lang
	lang.words = lang.words.Remembering()
	return Words{&lang}
}

// Pairing are the words for what package conflict says.
func (w Words) Pairing() conflict.Words { return w.lang.words }

// Summary is the one sentence that says it all, at most [SummaryLimit] characters:
// long names are shortened, and the number of further reasons gives way first.
func (w Words) Summary(s *stocking.Summary) string {
	lead := w.lang.lead[s.Decision] + ": "
	tail := w.observed(s.Observed)
	more := w.more(s.More)
	room := SummaryLimit - utf8.RuneCountInString(lead+w.lang.dot+tail)
	main := w.clauseOf(s.Reason, s.Main, room-utf8.RuneCountInString(more))
	if utf8.RuneCountInString(main+more) > room {
		main, more = w.clauseOf(s.Reason, s.Main, room), ""
	}
	return lead + main + more + w.lang.dot + tail
}

// clauseOf is a statement that a finding, if any, stands behind, in at most limit characters.
func (w Words) clauseOf(f *stocking.Finding, s conflict.Statement, limit int) string {
	if f == nil {
		return w.clause(s, nil, "", limit)
	}
	if f.Other != nil && f.Other.Animal != nil && f.Other.Animal.Short != "" {
		return cut(w.named(taken(f, f.Other.Animal.Short), &s, nil, wordOf(f), 1), limit)
	}
	return w.clause(s, f.Kinds, wordOf(f), limit)
}

// clause is a statement without its full stop in at most limit characters: the table's shorter form
// where it has one, with fewer kinds named, and the names cut where nothing else is short enough.
func (w Words) clause(s conflict.Statement, kinds []*species.Species, word string, limit int) string {
	text := ""
	if template, ok := w.lang.short[s.Code]; ok {
		text = w.lang.words.FillShort(template, s, limit)
	} else {
		text = strings.TrimSuffix(w.lang.words.Short(s, limit), w.lang.dot)
	}
	said := ""
	for most := 3; most > 0; most-- {
		if said = w.named(text, &s, kinds, word, most); utf8.RuneCountInString(said) <= limit {
			return said
		}
	}
	return cut(said, limit)
}

// cut shortens a text to a number of characters.
func cut(text string, limit int) string {
	runes := []rune(text)
	if len(runes) <= limit {
		return text
	}
	return strings.TrimRight(string(runes[:max(0, limit-1)]), " ,") + "…"
}

func (w Words) more(n int) string {
	switch {
	case n <= 0:
		return ""
	case n == 1:
		return w.lang.moreOne
	}
	return w.fill(w.lang.moreMany, conflict.Evidence{Name: "count", Value: float64(n)})
}

// observed states what a keeper's experience changed, beside the species-level answer.
func (w Words) observed(o *stocking.Observed) string {
	if o == nil {
		return ""
	}
	template := w.lang.observed[o.Disposition+1]
	return w.fill(template,
		conflict.Evidence{Name: "months", Value: o.Months, Unit: "month"},
		conflict.Evidence{Name: "score", Value: o.Score}, conflict.Evidence{Name: "level", Value: float64(o.Level), Unit: "level"},
		conflict.Evidence{Name: "species_score", Value: o.SpeciesLevel},
		conflict.Evidence{Name: "species_level", Value: float64(o.LevelForSpecies), Unit: "level"})
}

// fill writes a template of the table itself with values.
func (w Words) fill(template string, ev ...conflict.Evidence) string {
	return w.lang.words.Fill(template, conflict.Statement{Evidence: ev})
}

// With are the same words with another package's table added. It copies the tables: call it
// once, not for every answer.
func (w Words) With(t conflict.Table) Words {
	lang := *w.lang
	lang.words = lang.words.With(t)
	return Words{&lang}
}

// Event is an event of an outlook as a sentence: when, how grave, and what.
func (w Words) Event(e *stocking.Event) string {
	lead := w.Sentence(e.When)
	if e.Kind == stocking.PairingRises || e.Kind == stocking.OwnKindRises {
		level := w.Sentence(conflict.Statement{Code: stocking.OutlookLevel, Evidence: []conflict.Evidence{
			{Name: "level", Value: float64(e.Level), Unit: "level"}}})
		lead += ", " + strings.ToLower(level)
	}
	return lead + ": " + w.Sentence(e.What)
}
