package respond

import (
	"encoding"
	"encoding/json"
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"
)

// EncodeJSON writes a value as [json.Marshal] does, byte for byte, and a line end. What a type has is looked up once, and most values
// are appended as they are, which takes half the time.
func EncodeJSON(value any) ([]byte, error) {
	v := reflect.ValueOf(value)
	if w := writerOf(v); w != nil {
		buf := buffers.Get().(*[]byte)
		defer buffers.Put(buf)
		out, ok := w.append((*buf)[:0], v)
		*buf = out[:0]
		if cap(out) > largeBuffer {
			*buf = nil
		}
		if ok {
			body := make([]byte, len(out)+1)
			body[copy(body, out)] = '\n'
			return body, nil
		}
	}
	body, err := json.Marshal(value)
	if err != nil {
		return nil, err
	}
	return append(body, '\n'), nil
}

// buffers are what answers are encoded in before their length is known; larger ones than largeBuffer are not kept.
var buffers = sync.Pool{New: func() any { return new([]byte) }}

const largeBuffer = 128 << 10

// writer writes the values of one type.
type writer struct {
	kind   reflect.Kind
	whole  bool    // it is left to encoding/json
	inside *writer // of a pointer or a list
	fields []written
}

// written is a field of a struct.
type written struct {
	at      int
	name    string // with the comma before it and its colon
	omitted bool   // where it is empty
	*writer
}

// writers are those that were made, by type; nil for a type that has a part for which there is none.
var writers sync.Map

func writerOf(v reflect.Value) *writer {
	if !v.IsValid() {
		return nil
	}
	if made, ok := writers.Load(v.Type()); ok {
		return made.(*writer)
	}
	w := newWriter(v.Type(), maxNesting)
	writers.Store(v.Type(), w)
	return w
}

// maxNesting is how deep a type may be made of others; types that are made of themselves are left to encoding/json.
const maxNesting = 16

var (
	ownJSON = reflect.TypeFor[json.Marshaler]()
	ownText = reflect.TypeFor[encoding.TextMarshaler]()
)

func newWriter(t reflect.Type, depth int) *writer {
	w := &writer{kind: t.Kind()}
	switch to := reflect.PointerTo(t); {
	case depth == 0 || t == reflect.TypeFor[json.Number]():
		return nil
	case t.Implements(ownJSON) || t.Implements(ownText):
		w.whole = true
		return w
	case to.Implements(ownJSON) || to.Implements(ownText): // which encoding/json asks for where it can have a pointer
		return nil
	}
	switch t.Kind() {
	case reflect.Bool, reflect.String, reflect.Int, reflect.Int64, reflect.Float64:
		return w
	case reflect.Map, reflect.Interface:
		w.whole = true
		return w
	case reflect.Pointer, reflect.Slice:
		if w.inside = newWriter(t.Elem(), depth-1); w.inside == nil || t.Elem().Kind() == reflect.Uint8 {
			return nil
		}
		return w
	case reflect.Struct:
		return w.structure(t, depth)
	}
	return nil
}

func (w *writer) structure(t reflect.Type, depth int) *writer {
	for i := range t.NumField() {
		f := t.Field(i)
		tag := f.Tag.Get("json")
		name, options, _ := strings.Cut(tag, ",")
		if f.Anonymous || !f.IsExported() || name == "" || tag == "-" || options != "" && options != "omitempty" {
			return nil
		}
		part := newWriter(f.Type, depth-1)
		if part == nil {
			return nil
		}
		w.fields = append(w.fields, written{at: i, name: "," + string(AppendText(nil, name)) + ":", omitted: options != "", writer: part})
	}
	return w
}

// append appends a value; false for one that JSON cannot hold.
func (w *writer) append(b []byte, v reflect.Value) ([]byte, bool) {
	if w.whole {
		text, err := json.Marshal(v.Interface())
		return append(b, text...), err == nil
	}
	switch w.kind {
	case reflect.String:
		return AppendText(b, v.String()), true
	case reflect.Bool:
		return strconv.AppendBool(b, v.Bool()), true
	case reflect.Int, reflect.Int64:
		return strconv.AppendInt(b, v.Int(), 10), true
	case reflect.Float64:
		x := v.Float()
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return b, false
		}
		return AppendNumber(b, x), true
	case reflect.Pointer:
		if v.IsNil() {
			return append(b, "null"...), true
		}
		return w.inside.append(b, v.Elem())
	case reflect.Slice:
		return w.list(b, v)
	}
	return w.object(b, v)
}

func (w *writer) list(b []byte, v reflect.Value) (_ []byte, ok bool) {
	if v.IsNil() {
		return append(b, "null"...), true
	}
	b = append(b, '[')
	for i := range v.Len() {
		if i > 0 {
			b = append(b, ',')
		}
		if b, ok = w.inside.append(b, v.Index(i)); !ok {
			return b, false
		}
	}
	return append(b, ']'), true
}

func (w *writer) object(b []byte, v reflect.Value) (_ []byte, ok bool) {
	begin := len(b)
	for i := range w.fields {
		f := &w.fields[i]
		part := v.Field(f.at)
		if f.omitted && empty(part) {
			continue
		}
		if b, ok = f.append(append(b, f.name...), part); !ok {
			return b, false
		}
	}
	if len(b) == begin {
		return append(b, "{}"...), true
	}
	b[begin] = '{' // in place of the first comma
	return append(b, '}'), true
}

// empty is what omitempty means.
func empty(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.Map, reflect.String:
		return v.Len() == 0
	case reflect.Struct:
		return false
	}
	return v.IsZero()
}
