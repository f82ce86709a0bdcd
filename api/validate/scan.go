package validate

import (
	"strconv"
)

// scan goes through a JSON text once, from the front. It knows the plain part of JSON that programs write: a text with an escape,
// a null or a slip in it is left to the decoder of encoding/json.
type scan struct {
	text []byte
	at   int
}

// valueKind is a kind of JSON value.
type valueKind uint8

// The kinds of value that a scan knows.
const (
	unplain valueKind = iota // null, or no JSON at all
	object
	list
	word
	number
	truth
)

// kinds says by its first byte what kind of value follows.
var kinds = func() (out [256]valueKind) {
	out['{'], out['['], out['"'], out['-'], out['t'], out['f'] = object, list, word, number, truth, truth
	for c := '0'; c <= '9'; c++ {
		out[c] = number
	}
	return out
}()

// blank passes over white space.
func (s *scan) blank() {
	for s.at < len(s.text) {
		switch s.text[s.at] {
		case ' ', '\t', '\n', '\r':
			s.at++
		default:
			return
		}
	}
}

// next is the kind of the value that follows.
func (s *scan) next() valueKind {
	s.blank()
	if s.at == len(s.text) {
		return unplain
	}
	return kinds[s.text[s.at]]
}

// take passes over white space and one byte, where that is what follows.
func (s *scan) take(c byte) bool {
	s.blank()
	if s.at < len(s.text) && s.text[s.at] == c {
		s.at++
		return true
	}
	return false
}

// word passes over a string that means what it says, and gives it.
func (s *scan) word() (inside []byte, ok bool) {
	if !s.take('"') {
		return nil, false
	}
	for i := s.at; i < len(s.text); i++ {
		switch c := s.text[i]; {
		case c == '"':
			inside, s.at = s.text[s.at:i], i+1
			return inside, true
		case c == '\\' || c < ' ':
			return nil, false
		}
	}
	return nil, false
}

// name passes over the name of a field and its colon.
func (s *scan) name() (inside []byte, ok bool) {
	inside, ok = s.word()
	return inside, ok && s.take(':')
}

// truth passes over true or false.
func (s *scan) truth() (value, ok bool) {
	s.blank()
	for _, value := range [...]bool{true, false} {
		if said := strconv.FormatBool(value); len(s.text)-s.at >= len(said) && string(s.text[s.at:s.at+len(said)]) == said {
			s.at += len(said)
			return value, true
		}
	}
	return false, false
}

// number passes over a number and gives it as it stands.
func (s *scan) number() (text []byte, ok bool) {
	s.blank()
	start := s.at
	if s.at < len(s.text) && s.text[s.at] == '-' {
		s.at++
	}
	if whole := s.digits(); whole == 0 || whole > 1 && s.text[s.at-whole] == '0' {
		return nil, false
	}
	if s.at < len(s.text) && s.text[s.at] == '.' {
		if s.at++; s.digits() == 0 {
			return nil, false
		}
	}
	if s.at < len(s.text) && s.text[s.at]|0x20 == 'e' {
		s.at++
		if s.at < len(s.text) && (s.text[s.at] == '+' || s.text[s.at] == '-') {
			s.at++
		}
		if s.digits() == 0 {
			return nil, false
		}
	}
	return s.text[start:s.at], true
}

// digits passes over digits, and counts them.
func (s *scan) digits() (n int) {
	for s.at < len(s.text) && s.text[s.at]-'0' <= 9 {
		s.at++
		n++
	}
	return n
}

// value is what a number stands for; ok is false where no float64 is large enough.
func value(text []byte) (v float64, ok bool) {
	if len(text) <= 15 {
		n := 0
		for _, c := range text {
			if c-'0' > 9 {
				n = -1
				break
			}
			n = 10*n + int(c-'0')
		}
		if n >= 0 {
			return float64(n), true
		}
	}
	v, err := strconv.ParseFloat(string(text), 64)
	return v, err == nil
}

// skip passes over a plain value of any kind, that is nested so many times at the most.
func (s *scan) skip(depth int) (ok bool) {
	switch s.next() {
	case word:
		_, ok = s.word()
	case number:
		_, ok = s.number()
	case truth:
		_, ok = s.truth()
	case list:
		ok = depth > 0 && s.entries(func() bool { return s.skip(depth - 1) })
	case object:
		ok = depth > 0 && s.fields(func([]byte) bool { return s.skip(depth - 1) })
	}
	return ok
}

// entries passes over a list, of which each entry is passed over.
func (s *scan) entries(each func() bool) bool {
	if !s.take('[') {
		return false
	}
	if s.take(']') {
		return true
	}
	for {
		switch {
		case !each():
			return false
		case s.take(']'):
			return true
		case !s.take(','):
			return false
		}
	}
}

// fields passes over an object, of which the value of each field is passed over.
func (s *scan) fields(each func(name []byte) bool) bool {
	if !s.take('{') {
		return false
	}
	if s.take('}') {
		return true
	}
	for {
		name, ok := s.name()
		switch {
		case !ok || !each(name):
			return false
		case s.take('}'):
			return true
		case !s.take(','):
			return false
		}
	}
}

// count is how many entries the list has that begins here. The scan stays where it is.
func (s *scan) count() (n int) {
	ahead := *s
	if !ahead.entries(func() bool { n++; return ahead.skip(maxDepth) }) {
		return 0
	}
	return n
}
