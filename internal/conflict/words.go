package conflict

import (
	"maps"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"commensal/internal/species"
)

// SummaryLimit is the greatest length of a summary, in characters.
const SummaryLimit = 140

// shortestName is how far a name is shortened at most, in characters.
const shortestName = 8

// language is one language's table: sentences by statement code, and words.
type language struct {
	tag       string
	sentences map[Code]string
	words     map[WordCode]string
	levels    [NumLevels]string
	lead      [NumLevels]string
}

// Words turns statements into sentences in one language and one system of units.
type Words struct {
	lang *language
	// US adds US customary units in brackets after SI ones.
	US    bool
	names map[*species.Species]spoken // see [Words.Remembering]; nil for none
}

// spoken are the names of a kind inside a sentence, of one and of many.
type spoken struct{ one, many string }

// Remembering are the same words for sentences about few kinds again and again: they work out each
// name once. They are not safe for concurrent use.
func (w Words) Remembering() Words {
	w.names = make(map[*species.Species]spoken)
	return w
}

// spoken are the names of a kind.
func (w Words) spoken(sp *species.Species) spoken {
	if known, ok := w.names[sp]; ok {
		return known
	}
	one := species.Spoken(sp.VernacularName(w.lang.tag))
	names := spoken{one, species.Plural(one)}
	if w.names != nil {
		w.names[sp] = names
	}
	return names
}

// English are the English words.
func English(us bool) Words { return Words{lang: &english, US: us} }

// Sentence is the statement as a sentence with its numbers and units.
func (w Words) Sentence(s Statement) string { return w.Fill(w.lang.sentences[s.Code], s) }

// Say is [Words.Sentence] for a statement that may concern one species or none.
func (w Words) Say(s Statement) string { return w.Fill(w.lang.sentences[s.Code], s) }

// Level is the level's word for people.
func (w Words) Level(l Level) string { return w.lang.levels[l] }

// Summary is the one sentence that says it all, at most [SummaryLimit] characters.
// Where the vernacular names are too long for that, they are shortened.
func (w Words) Summary(p *Pairing) string {
	lead := w.lang.lead[p.Score.Level] + ": "
	text := w.FillShort(w.lang.sentences[p.Summary.Code], p.Summary, SummaryLimit-utf8.RuneCountInString(lead))
	return lead + text
}

// Short is [Words.Say] in at most limit characters, see [Words.FillShort].
func (w Words) Short(s Statement, limit int) string {
	return w.FillShort(w.lang.sentences[s.Code], s, limit)
}

// Fill writes a template that is not in the table with the values of a statement.
func (w Words) Fill(template string, s Statement) string { return w.fill(template, s, math.MaxInt) }

// FillShort is [Words.Fill] in at most limit characters where shortening the
// names, down to eight characters each, can achieve that.
func (w Words) FillShort(template string, s Statement, limit int) string {
	text := w.fill(template, s, math.MaxInt)
	if len(text) <= limit {
		return text
	}
	for room := longest(s); utf8.RuneCountInString(text) > limit && room > shortestName; room -= 2 {
		text = w.fill(template, s, max(room, shortestName))
	}
	return text
}

// longest is the length of the longer name of a statement.
func longest(s Statement) int {
	n := 0
	for _, sp := range []*species.Species{s.Actor, s.Other} {
		if sp != nil {
			n = max(n, utf8.RuneCountInString(species.Plural(sp.VernacularName("en"))))
		}
	}
	return n
}

// clip shortens a name to at most n characters.
func clip(name string, n int) string {
	if utf8.RuneCountInString(name) <= n {
		return name
	}
	return strings.TrimRight(string([]rune(name)[:n-1]), " ") + "…"
}

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

// fill replaces the names in braces. A name the statement does not carry stays
// visible in braces, so that a slip in a table shows in the tests.
func (w Words) fill(template string, s Statement, room int) string {
	var space [256]byte
	b := line(space[:0])
	for {
		open := strings.IndexByte(template, '{')
		if open < 0 {
			b.WriteString(template)
			b.upperFirst()
			return string(b)
		}
		b.WriteString(template[:open])
		rest := template[open:]
		end := strings.IndexByte(rest, '}')
		w.put(&b, rest[1:end], &s, room)
		template = rest[end+1:]
	}
}

func (w Words) put(b *line, key string, s *Statement, room int) {
	if name, ok := w.name(key, s); ok {
		b.WriteString(clip(name, room))
		return
	}
	if i := int(key[0] - '0'); len(key) == 1 && i >= 0 && i < len(s.Words) {
		b.WriteString(w.lang.words[s.Words[i]])
		return
	}
	if low, high, ok := strings.Cut(key, ":"); ok {
		w.between(b, s.value(low), s.value(high))
		return
	}
	if e := s.value(key); e != nil {
		w.value(b, *e)
		return
	}
	*b = append(append(append(*b, '{'), key...), '}')
}

// name is a kind as a sentence names it: {actor} and {other} as in a heading, {one} and {another}
// as of one inside a sentence, {actors} and {others} as of many.
func (w Words) name(key string, s *Statement) (name string, ok bool) {
	var sp *species.Species
	switch key {
	case "actor", "one", "actors":
		sp = s.Actor
	case "other", "another", "others":
		sp = s.Other
	default:
		return "", false
	}
	if sp == nil {
		return "", true
	}
	switch key {
	case "one", "another":
		return w.spoken(sp).one, true
	case "actors", "others":
		return w.spoken(sp).many, true
	}
	return sp.VernacularName(w.lang.tag), true
}

// value finds a value of the evidence by its name.
func (s *Statement) value(name string) *Evidence {
	for i := range s.Evidence {
		if s.Evidence[i].Name == name {
			return &s.Evidence[i]
		}
	}
	return nil
}

// between writes a range, its unit once: "22 to 27 °C (72 to 81 °F)".
func (w Words) between(b *line, low, high *Evidence) {
	if low == nil || high == nil {
		b.WriteString("{range}")
		return
	}
	to := " " + w.lang.words[WordTo] + " "
	number(b, low.Value)
	if shown(low.Value) != shown(high.Value) {
		b.WriteString(to)
		number(b, high.Value)
	}
	switch low.Unit {
	case "C":
		b.WriteString(" °C")
		if w.US {
			b.WriteString(" (" + fahrenheit(low.Value) + to + fahrenheit(high.Value) + " °F)")
		}
	case "dH":
		b.WriteString(" °dH")
	case "ppt":
		b.WriteString(" ppt")
	}
}

func fahrenheit(celsius float64) string {
	return strconv.FormatFloat(math.Round(celsius*1.8+32), 'f', -1, 64)
}

// value writes one value with its unit, rounded as a person would say it.
func (w Words) value(b *line, e Evidence) {
	switch e.Unit {
	case "cm":
		number(b, e.Value)
		b.WriteString(" cm")
		w.us(b, e.Value/2.54, " in")
	case "C":
		number(b, e.Value)
		b.WriteString(" °C")
		w.us(b, e.Value*1.8+32, " °F")
	case "dH":
		number(b, e.Value)
		b.WriteString(" °dH")
	case "ppt":
		number(b, e.Value)
		b.WriteString(" ppt")
	case "share":
		*b = strconv.AppendInt(*b, int64(math.Round(e.Value*100)), 10)
		b.WriteString("%")
	case "level":
		b.WriteString(w.lang.levels[Level(e.Value)])
	case "ratio":
		w.females(b, e.Value)
	default:
		w.bulk(b, e)
	}
}

// The words for numbers of females, and between numbers.
const (
	WordFemale  WordCode = "female"
	WordFemales WordCode = "females"
	WordOr      WordCode = "or"
	WordTo      WordCode = "to"
)

// females writes a head count that need not be whole: "2 or 3 females".
func (w Words) females(b *line, n float64) {
	low, high := math.Floor(n), math.Ceil(n)
	b.WriteString(strconv.Itoa(int(low)))
	if low != high {
		b.WriteString(" " + w.lang.words[WordOr] + " " + strconv.Itoa(int(high)))
	}
	word := WordFemales
	if high == 1 {
		word = WordFemale
	}
	b.WriteString(" " + w.lang.words[word])
}

func (w Words) us(b *line, v float64, unit string) {
	if w.US {
		b.WriteString(" (")
		number(b, v)
		b.WriteString(unit + ")")
	}
}

// number writes whole numbers from 10 up and one decimal below.
func number(b *line, v float64) {
	if math.Abs(v) >= 10 && v != math.Round(v*2)/2 {
		v = math.Round(v)
	}
	*b = strconv.AppendFloat(*b, math.Round(v*10)/10, 'f', -1, 64)
}

// line is a sentence that is being written.
type line []byte

// WriteString appends a piece.
func (b *line) WriteString(s string) { *b = append(*b, s...) }

// upperFirst raises an ASCII first letter: sentences may begin with a value or a word.
func (b line) upperFirst() {
	if len(b) > 0 && 'a' <= b[0] && b[0] <= 'z' && (len(b) < 2 || string(b[:2]) != "pH") {
		b[0] -= 'a' - 'A'
	}
}

// The words for spans of time, one and many.
const (
	WordHour   WordCode = "hour"
	WordHours  WordCode = "hours"
	WordMonth  WordCode = "month"
	WordMonths WordCode = "months"
	WordYear   WordCode = "year"
	WordYears  WordCode = "years"
)

// bulk writes volumes, masses, rates and spans of time with their units; a unit that
// people do not say aloud (a grade, a count) leaves the bare number.
func (w Words) bulk(b *line, e Evidence) {
	start := len(*b)
	number(b, e.Value)
	one := string((*b)[start:]) == "1"
	switch e.Unit {
	case "L":
		b.WriteString(" L")
		w.us(b, e.Value/3.785411784, " US gal")
	case "g":
		b.WriteString(" g")
		w.us(b, e.Value/28.349523125, " oz")
	case "kg":
		b.WriteString(" kg")
		w.us(b, e.Value/0.45359237, " lb")
	case "mg/L", "mg/h":
		b.WriteString(" " + e.Unit)
	case "h":
		w.span(b, one, WordHour, WordHours)
	case "month":
		w.span(b, one, WordMonth, WordMonths)
	case "year":
		w.span(b, one, WordYear, WordYears)
	}
}

func (w Words) span(b *line, one bool, single, many WordCode) {
	word := many
	if one {
		word = single
	}
	b.WriteString(" " + w.lang.words[word])
}
