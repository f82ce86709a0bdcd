package validate

import (
	"strconv"

	"commensal/api/respond"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// shape is a schema taken apart, so that a value can be held against it piece by piece: sizes
// before entries, and no more entries than there is room for faults. The library alone
// looks at everything and gathers all that is wrong, which for a body of a megabyte is
// hundreds of megabytes.
type shape struct {
	shell  *jsonschema.Schema // all rules but those inside the parts below
	most   int                // entries of a list; -1 where there is no bound
	items  *shape             // of a list
	fields map[string]*shape  // of an object, those that are lists or objects themselves
}

// anything is the schema that every value fits.
var anything = func() *jsonschema.Schema { yes := true; return &jsonschema.Schema{Bool: &yes} }()

// shapes makes shapes, each schema's once: schemas may refer to themselves.
type shapes map[*jsonschema.Schema]*shape

// of is the shape of a schema, nil where it has no parts.
func (m shapes) of(s *jsonschema.Schema) *shape {
	if s == nil {
		return nil
	}
	if known, ok := m[s]; ok {
		return known
	}
	if s.Ref != nil && s.Items2020 == nil && s.Properties == nil {
		if inner := m.of(s.Ref); inner != nil && onlyRefers(s) {
			m[s] = inner
			return inner
		}
		return nil
	}
	if s.Items2020 == nil && s.Properties == nil {
		return nil
	}
	out := &shape{most: -1, fields: map[string]*shape{}}
	m[s] = out
	shell := *s
	out.shell = &shell
	if s.MaxItems != nil {
		out.most = *s.MaxItems
	}
	if s.Items2020 != nil {
		if out.items = m.of(s.Items2020); out.items == nil {
			out.items = &shape{shell: s.Items2020, most: -1}
		}
		shell.Items2020 = nil
	}
	shell.Properties = map[string]*jsonschema.Schema{}
	for name, property := range s.Properties {
		if shell.Properties[name] = property; m.of(property) != nil {
			out.fields[name], shell.Properties[name] = m.of(property), anything
		}
	}
	return out
}

// onlyRefers reports that a schema says nothing beside its reference.
func onlyRefers(s *jsonschema.Schema) bool {
	return s.MaxItems == nil && s.MinItems == nil && s.Types == nil && s.OneOf == nil && s.AnyOf == nil && s.AllOf == nil && s.Required == nil
}

// misfits are the rules that a value breaks, as far as they are gathered.
type misfits struct{ found []violation }

func (b *misfits) full() bool { return len(b.found) >= respond.MaxEntries }

func (b *misfits) add(at string, list []violation) {
	for _, v := range list {
		if b.full() {
			return
		}
		v.pointer = at + v.pointer
		b.found = append(b.found, v)
	}
}

// sizes tells of the lists in a value that are too long.
func (s *shape) sizes(at string, value any, b *misfits) {
	switch v := value.(type) {
	case []any:
		if s.most >= 0 && len(v) > s.most {
			b.add(at, []violation{tooMany(len(v), s.most)})
			return
		}
		if s.items == nil || s.items.items == nil && len(s.items.fields) == 0 {
			return
		}
		for i := 0; i < len(v) && !b.full(); i++ {
			s.items.sizes(at+"/"+strconv.Itoa(i), v[i], b)
		}
	case map[string]any:
		for _, name := range sortedNames(s.fields) {
			if inner, ok := v[name]; ok {
				s.fields[name].sizes(at+"/"+name, inner, b)
			}
		}
	}
}

// rules tells of the rules that a value of bounded size breaks.
func (s *shape) rules(at string, value any, b *misfits) {
	if b.full() {
		return
	}
	if err := s.shell.Validate(value); err != nil {
		b.add(at, violations(err))
	}
	switch v := value.(type) {
	case []any:
		for i := 0; s.items != nil && i < len(v) && !b.full(); i++ {
			s.items.rules(at+"/"+strconv.Itoa(i), v[i], b)
		}
	case map[string]any:
		for _, name := range sortedNames(s.fields) {
			if inner, ok := v[name]; ok {
				s.fields[name].rules(at+"/"+name, inner, b)
			}
		}
	}
}
