package conflict

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// SummaryLimit is the greatest length of a summary, in characters.
const SummaryLimit = 140

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
	US bool
}

// English are the English words.
func English(us bool) Words { return Words{lang: &english, US: us} }

// Sentence is the statement as a sentence with its numbers and units.
func (w Words) Sentence(s Statement) string {
	return w.fill(w.lang.sentences[s.Code], s, w.name(s.Actor), w.name(s.Other))
}

// Level is the level's word for people.
func (w Words) Level(l Level) string { return w.lang.levels[l] }

// Summary is the one sentence that says it all, at most [SummaryLimit] characters.
// Where the vernacular names are too long for that, they are shortened.
func (w Words) Summary(p *Pairing) string {
	s := p.Summary
	actor, other := w.name(s.Actor), w.name(s.Other)
	room := SummaryLimit
	for {
		text := w.lang.lead[p.Score.Level] + ": " + w.fill(w.lang.sentences[s.Code], s, clip(actor, room), clip(other, room))
		if utf8.RuneCountInString(text) <= SummaryLimit || room <= 8 {
			return text
		}
		room = min(room, max(utf8.RuneCountInString(actor), utf8.RuneCountInString(other))) - 4
	}
}

// clip shortens a name to at most n characters.
func clip(name string, n int) string {
	if utf8.RuneCountInString(name) <= n {
		return name
	}
	return strings.TrimRight(string([]rune(name)[:n-1]), " ") + "…"
}

func (w Words) name(sp nameable) string {
	return sp.VernacularName(w.lang.tag)
}

// nameable is a species as far as sentences need it.
type nameable interface{ VernacularName(language string) string }

// fill replaces the names in braces. A name the statement does not carry stays
// visible in braces, so that a slip in a table shows in the tests.
func (w Words) fill(template string, s Statement, actor, other string) string {
	var b strings.Builder
	b.Grow(len(template) + 96)
	for {
		open := strings.IndexByte(template, '{')
		if open < 0 {
			b.WriteString(template)
			return upperFirst(b.String())
		}
		b.WriteString(template[:open])
		rest := template[open:]
		end := strings.IndexByte(rest, '}')
		w.put(&b, rest[1:end], s, actor, other)
		template = rest[end+1:]
	}
}

func (w Words) put(b *strings.Builder, key string, s Statement, actor, other string) {
	switch key {
	case "actor":
		b.WriteString(actor)
		return
	case "other":
		b.WriteString(other)
		return
	}
	if i := int(key[0] - '0'); len(key) == 1 && i >= 0 && i < len(s.Words) {
		b.WriteString(w.lang.words[s.Words[i]])
		return
	}
	for _, e := range s.Evidence {
		if e.Name == key {
			w.value(b, e)
			return
		}
	}
	b.WriteString("{" + key + "}")
}

// value writes one value with its unit, rounded as a person would say it.
func (w Words) value(b *strings.Builder, e Evidence) {
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
		b.WriteString(strconv.Itoa(int(math.Round(e.Value * 100))))
		b.WriteString("%")
	case "level":
		b.WriteString(w.lang.levels[Level(e.Value)])
	default:
		w.bulk(b, e)
	}
}

func (w Words) us(b *strings.Builder, v float64, unit string) {
	if w.US {
		b.WriteString(" (")
		number(b, v)
		b.WriteString(unit + ")")
	}
}

// number writes whole numbers from 10 up and one decimal below.
func number(b *strings.Builder, v float64) {
	if math.Abs(v) >= 10 && v != math.Round(v*2)/2 {
		v = math.Round(v)
	}
	b.WriteString(strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64))
}

// upperFirst raises an ASCII first letter: sentences may begin with a value or a word.
func upperFirst(s string) string {
	if s != "" && 'a' <= s[0] && s[0] <= 'z' && !strings.HasPrefix(s, "pH") {
		return string(s[0]-'a'+'A') + s[1:]
	}
	return s
}
