package validate

import (
	"bytes"
	"encoding"
	"encoding/json"
	"reflect"
	"strconv"
	"strings"
	"sync"
)

// Sent is a body that was held against the contract, as it was sent. It is decoded when somebody asks.
type Sent struct {
	text  []byte
	plain bool // a plan has found it sound
	value any  // decoded, where that was asked for
}

// Says reports whether a field of this name may stand anywhere in the body. Where it says no, none does.
func (s *Sent) Says(field string) bool {
	for at := s.text; s.plain; {
		i := bytes.Index(at, []byte(field))
		if i < 0 {
			return false
		}
		if end := i + len(field); i > 0 && at[i-1] == '"' && end < len(at) && at[end] == '"' {
			return true
		}
		at = at[i+len(field):]
	}
	return true
}

// Value is the body decoded into maps, lists, strings, numbers and booleans.
func (s *Sent) Value() any {
	if s.plain && s.value == nil {
		s.value, _ = DecodeStrictly(s.text) // what a plan has found sound can be decoded
	}
	return s.value
}

// Fields are the fields of a body that is an object.
func (s *Sent) Fields() map[string]any { return AsMap(s.Value()) }

// Read reads a body into the type that the contract makes of it.
func Read[T any](s *Sent) (*T, error) {
	in := new(T)
	if s.plain {
		if r := readerOf(reflect.TypeFor[T]()); r != nil && r.read(s.text, reflect.ValueOf(in).Elem()) {
			return in, nil
		}
		*in = *new(T)
	}
	if err := json.Unmarshal(s.text, in); err != nil {
		return nil, err
	}
	return in, nil
}

// reader reads a plain text into a Go value of one type as encoding/json does, without looking for what a plan has found sound already.
type reader struct {
	kind   reflect.Kind
	raw    bool    // it is kept as it was sent
	plain  bool    // it is a *float64
	inside *reader // of a pointer or a slice
	fields map[string]int
	parts  []*reader // of a struct, by number of the field
}

// readers are those that were made, by type; nil for a type that they cannot read.
var readers sync.Map

// readerOf is the reader of a type, nil where there is none.
func readerOf(t reflect.Type) *reader {
	if made, ok := readers.Load(t); ok {
		return made.(*reader)
	}
	r := newReader(t, maxDepth)
	readers.Store(t, r)
	return r
}

var (
	raw      = reflect.TypeFor[json.RawMessage]()
	ownWay   = reflect.TypeFor[json.Unmarshaler]()
	ownWords = reflect.TypeFor[encoding.TextUnmarshaler]()
)

func newReader(t reflect.Type, depth int) *reader {
	r := &reader{kind: t.Kind()}
	switch to := reflect.PointerTo(t); {
	case t == raw:
		r.raw = true
		return r
	case depth == 0 || to.Implements(ownWay) || to.Implements(ownWords):
		return nil
	}
	r.plain = t == reflect.TypeFor[*float64]()
	switch t.Kind() {
	case reflect.Bool, reflect.String, reflect.Float64, reflect.Int, reflect.Int64:
		return r
	case reflect.Pointer, reflect.Slice:
		if r.inside = newReader(t.Elem(), depth-1); r.inside == nil || t.Elem().Kind() == reflect.Uint8 {
			return nil
		}
		return r
	case reflect.Struct:
		return r.structure(t, depth)
	}
	return nil
}

func (r *reader) structure(t reflect.Type, depth int) *reader {
	r.fields = make(map[string]int, t.NumField())
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		part := newReader(f.Type, depth-1)
		if !f.IsExported() || f.Anonymous || name == "" || name == "-" || strings.Contains(options, "string") || part == nil {
			return nil
		}
		r.fields[name], r.parts = i, append(r.parts, part)
	}
	return r
}

// read reads a text that a plan has found sound. It reports whether it could.
func (r *reader) read(text []byte, into reflect.Value) bool {
	s := &source{scan: scan{text: text}, all: string(text)}
	return r.value(s, into)
}

// source is a text that is read, in bytes that stay the caller's and as the string of which parts are given out.
type source struct {
	scan
	all     string
	numbers []float64 // room for numbers that are pointed to
}

// room is where a number goes that is pointed to.
func (s *source) room() *float64 {
	if len(s.numbers) == 0 {
		s.numbers = make([]float64, 16)
	}
	at := &s.numbers[0]
	s.numbers = s.numbers[1:]
	return at
}

// piece is a part that was passed over, as a string.
func (s *source) piece(from, to int) string { return s.all[from:to] }

func (r *reader) value(s *source, v reflect.Value) bool {
	if r.raw {
		return s.kept(v)
	}
	switch r.kind {
	case reflect.Pointer:
		if r.plain {
			text, ok := s.number()
			if !ok {
				return false
			}
			at := s.room()
			v.Set(reflect.ValueOf(at))
			*at, ok = value(text)
			return ok
		}
		inside := reflect.New(v.Type().Elem())
		v.Set(inside)
		return r.inside.value(s, inside.Elem())
	case reflect.Struct:
		return s.fields(func(name []byte) bool {
			at, ok := r.fields[string(name)]
			return ok && r.parts[at].value(s, v.Field(at))
		})
	case reflect.Slice:
		return r.slice(s, v)
	}
	return r.single(s, v)
}

// kept takes a value as it was sent.
func (s *source) kept(v reflect.Value) bool {
	s.blank()
	start := s.at
	if !s.skip(maxDepth) {
		return false
	}
	v.SetBytes([]byte(s.piece(start, s.at)))
	return true
}

func (r *reader) slice(s *source, v reflect.Value) bool {
	n := s.count()
	v.Set(reflect.MakeSlice(v.Type(), n, n))
	i := -1
	return s.entries(func() bool { i++; return i < n && r.inside.value(s, v.Index(i)) })
}

func (r *reader) single(s *source, v reflect.Value) bool {
	switch r.kind {
	case reflect.Bool:
		value, ok := s.truth()
		v.SetBool(value)
		return ok
	case reflect.String:
		inside, ok := s.word()
		if ok {
			v.SetString(s.piece(s.at-1-len(inside), s.at-1))
		}
		return ok
	}
	text, ok := s.number()
	if !ok {
		return false
	}
	if r.kind == reflect.Float64 {
		x, ok := value(text)
		v.SetFloat(x)
		return ok
	}
	n, err := strconv.ParseInt(string(text), 10, v.Type().Bits())
	v.SetInt(n)
	return err == nil
}
