package validate

import (
	"math"
	"math/big"
	"reflect"
	"slices"
	"strconv"
	"unicode/utf8"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// maxPlain is the longest text in bytes that is held against a plan; there is nothing to win where a body is judged for longer
// than it is read.
const maxPlain = 64 << 10

// plan is a schema made ready for the bodies that programs send. It says of a text that it is sound, in one pass and
// without decoding it. Where it does not, nothing is known: the text is decoded then and held against the schema itself.
type plan struct {
	of [truth + 1]*rules // what a value of each kind has to be; nil where it may not be one
}

// rules are those for the values of one kind.
type rules struct {
	low, high      float64 // of a number
	whole          bool    // it has to be a whole one
	least, most    int     // characters of a string, entries of a list
	words          []string
	items          *plan // of a list
	fields         map[string]int
	parts          []*plan // of an object, by number of the field
	required       uint64  // fields of an object
	wordy, bounded bool
}

// plans makes plans, each schema's once: schemas may refer to themselves.
type plans map[*jsonschema.Schema]*plan

// planOf is the plan of a schema; nil where there is a rule in it that plans do not know.
func planOf(s *jsonschema.Schema) *plan {
	made := plans{}
	if p, ok := made.of(s); ok {
		return p
	}
	return nil
}

// known are the fields of a schema that a plan takes in, or that say nothing about values.
var known = []string{"DraftVersion", "Location", "ID", "Anchor", "Title", "Description", "Default", "Comment", "ReadOnly", "WriteOnly", "Examples", "Deprecated",
	"Types", "Enum", "OneOf", "Required", "Properties", "AdditionalProperties", "MinItems", "MaxItems", "Items2020", "MinLength", "MaxLength", "Maximum", "Minimum"}

// onlyKnown reports that a schema has no rule beside those.
func onlyKnown(s *jsonschema.Schema, besides ...string) bool {
	v := reflect.ValueOf(s).Elem()
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if f.IsExported() && !v.Field(i).IsZero() && !slices.Contains(known, f.Name) && !slices.Contains(besides, f.Name) {
			return false
		}
	}
	return true
}

func (m plans) of(s *jsonschema.Schema) (*plan, bool) {
	if s == nil {
		return nil, false
	}
	if p, ok := m[s]; ok {
		return p, p != nil
	}
	if s.Ref != nil {
		if !onlyKnown(s, "Ref") || s.Types != nil || s.Enum != nil || s.OneOf != nil || s.Required != nil || s.Properties != nil || s.AdditionalProperties != nil ||
			s.MinItems != nil || s.MaxItems != nil || s.Items2020 != nil || s.MinLength != nil || s.MaxLength != nil || s.Maximum != nil || s.Minimum != nil {
			return nil, false
		}
		return m.of(s.Ref)
	}
	p := &plan{}
	m[s] = p
	if !onlyKnown(s) || !m.fill(p, s) {
		m[s] = nil
		return nil, false
	}
	return p, true
}

// fill makes the rules of each kind.
func (m plans) fill(p *plan, s *jsonschema.Schema) bool {
	if s.OneOf != nil {
		return s.Types == nil && s.Enum == nil && s.Required == nil && s.Properties == nil && s.Items2020 == nil && m.oneOf(p, s.OneOf)
	}
	if s.Types == nil {
		return false
	}
	for _, name := range s.Types.ToStrings() {
		k, r, ok := m.ofType(name, s)
		if !ok || p.of[k] != nil {
			return false
		}
		p.of[k] = r
	}
	return true
}

// oneOf takes in alternatives no two of which let values of the same kind be.
func (m plans) oneOf(p *plan, list []*jsonschema.Schema) bool {
	for _, s := range list {
		one, ok := m.of(s)
		if !ok {
			return false
		}
		for k, r := range one.of {
			if r == nil {
				continue
			}
			if p.of[k] != nil {
				return false
			}
			p.of[k] = r
		}
	}
	return true
}

func (m plans) ofType(name string, s *jsonschema.Schema) (k valueKind, r *rules, ok bool) {
	r = &rules{low: math.Inf(-1), high: math.Inf(1), most: math.MaxInt}
	switch name {
	case "boolean":
		return truth, r, s.Enum == nil
	case "integer", "number":
		r.whole, r.bounded = name == "integer", s.Minimum != nil || s.Maximum != nil
		return number, r, s.Enum == nil && bound(&r.low, s.Minimum) && bound(&r.high, s.Maximum)
	case "string":
		length(&r.least, s.MinLength)
		length(&r.most, s.MaxLength)
		return word, r, r.enumerated(s.Enum)
	case "array":
		length(&r.least, s.MinItems)
		length(&r.most, s.MaxItems)
		r.items, ok = m.of(s.Items2020)
		return list, r, ok && s.Enum == nil
	case "object":
		return object, r, s.Enum == nil && m.object(r, s)
	}
	return unplain, nil, false
}

// bound takes a bound that is a float64 as it is written.
func bound(into *float64, given *big.Rat) bool {
	if given == nil {
		return true
	}
	*into, _ = given.Float64()
	written, ok := new(big.Rat).SetString(strconv.FormatFloat(*into, 'g', -1, 64))
	return ok && written.Cmp(given) == 0
}

func length(into *int, given *int) {
	if given != nil {
		*into = *given
	}
}

func (r *rules) enumerated(e *jsonschema.Enum) bool {
	if e == nil {
		return true
	}
	r.wordy = true
	for _, v := range e.Values {
		text, ok := v.(string)
		if !ok {
			return false
		}
		r.words = append(r.words, text)
	}
	return true
}

// object takes in the fields of an object, of which there are at most 64.
func (m plans) object(r *rules, s *jsonschema.Schema) bool {
	r.fields = make(map[string]int, len(s.Properties))
	for name, property := range s.Properties {
		part, ok := m.of(property)
		if !ok || len(r.parts) == 64 {
			return false
		}
		r.fields[name] = len(r.parts)
		r.parts = append(r.parts, part)
	}
	for _, name := range s.Required {
		at, ok := r.fields[name]
		if !ok {
			return false
		}
		r.required |= 1 << at
	}
	return true
}

// sound reports that a text is one value that fits, and that nothing else is in it than a scan knows.
func (p *plan) sound(text []byte) bool {
	if len(text) > maxPlain || !utf8.Valid(text) {
		return false
	}
	s := scan{text: text}
	if !p.fits(&s, maxDepth) {
		return false
	}
	s.blank()
	return s.at == len(text)
}

// fits passes over a value that fits.
func (p *plan) fits(s *scan, depth int) bool {
	k := s.next()
	r := p.of[k]
	if r == nil {
		return false
	}
	switch k {
	case truth:
		_, ok := s.truth()
		return ok
	case number:
		return r.number(s)
	case word:
		return r.word(s)
	case list:
		return depth > 0 && r.list(s, depth-1)
	}
	return depth > 0 && r.object(s, depth-1)
}

func (r *rules) number(s *scan) bool {
	text, ok := s.number()
	if !ok {
		return false
	}
	v, ok := value(text)
	return ok && v >= r.low && v <= r.high && (!r.whole || v == math.Trunc(v))
}

func (r *rules) word(s *scan) bool {
	text, ok := s.word()
	if !ok {
		return false
	}
	if n := utf8.RuneCount(text); n < r.least || n > r.most {
		return false
	}
	if !r.wordy {
		return true
	}
	for _, one := range r.words {
		if string(text) == one {
			return true
		}
	}
	return false
}

func (r *rules) list(s *scan, depth int) bool {
	n := 0
	ok := s.entries(func() bool { n++; return n <= r.most && r.items.fits(s, depth) })
	return ok && n >= r.least
}

// object passes over an object none of whose fields is given twice, or is not known.
func (r *rules) object(s *scan, depth int) bool {
	var seen uint64
	ok := s.fields(func(name []byte) bool {
		at, ok := r.fields[string(name)]
		if !ok || seen&(1<<at) != 0 {
			return false
		}
		seen |= 1 << at
		return r.parts[at].fits(s, depth)
	})
	return ok && seen&r.required == r.required
}
