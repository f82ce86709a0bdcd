package entry

import "commensal/internal/species"

// Places remembers where the text of a catalogue has each value, for what
// the package verify finds.
type Places struct {
	entries map[*species.Species]entryPlace
	lists   map[string]Place // by "words pleco" or "sources KEY"
}

// Place is a line of a file. The zero Place is none.
type Place struct {
	File string
	Line int // from 1
}

// entryPlace has the lines of one entry by field; "" is its first line.
type entryPlace struct {
	file  string
	lines map[string]int
}

func NewPlaces() *Places {
	return &Places{entries: make(map[*species.Species]entryPlace), lists: make(map[string]Place)}
}

// Of is the place of a field of an entry, or of the entry where the text does not
// have the field; of a word or source where s is nil.
func (p *Places) Of(s *species.Species, field string) Place {
	if p == nil {
		return Place{}
	}
	if s == nil {
		return p.lists[field]
	}
	e, ok := p.entries[s]
	if !ok {
		return Place{}
	}
	line, ok := e.lines[field]
	if !ok {
		line = e.lines[""]
	}
	return Place{e.file, line}
}

// Take adds the places of another text.
func (p *Places) Take(other *Places) {
	for s, e := range other.entries {
		p.entries[s] = e
	}
	for field, place := range other.lists {
		p.lists[field] = place
	}
}

// TakeList adds the lines of a list as they were read.
func (p *Places) TakeList(name, file string, lines map[string]int) {
	for key, line := range lines {
		p.lists[name+" "+key] = Place{file, line}
	}
}

// Note says where the text has an entry: line is its first.
func (p *Places) Note(s *species.Species, file string, line int) {
	p.entries[s] = entryPlace{file, map[string]int{"": line}}
}

// Join is the places of both; other may be nil.
func (p *Places) Join(other *Places) *Places {
	out := NewPlaces()
	out.Take(p)
	if other != nil {
		out.Take(other)
	}
	return out
}
