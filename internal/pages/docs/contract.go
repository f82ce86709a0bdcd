// Package docs reads the contract for people: operations, schemas and examples, as plain
// values for a page. It shows what openapi.yaml says and adds nothing.
package docs

import (
	"encoding/json"
	"fmt"
	"html/template"
	"sort"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Contract is the contract as far as pages show it.
type Contract struct {
	Title, Summary string
	About          template.HTML
	Tags           []Tag
	Operations     map[string]*Operation
	Schemas        map[string]*Schema
	SchemaNames    []string // in alphabetical order
}

// Tag is a group of operations, in the order of the document.
type Tag struct {
	Name, Description string
	Operations        []*Operation
}

// Operation is one operation.
type Operation struct {
	ID, Method, Path, Summary string
	Text                      template.HTML
	Scopes                    []string
	Parameters                []Field
	Body                      *Field
	Answers                   []Field
	Examples                  []Example
}

// Schema is one named schema.
type Schema struct {
	Name     string
	Text     template.HTML
	Type     string
	Values   []Field // the words of an enumeration
	Fields   []Field
	Examples []Example
}

// Field is a parameter, a property or an answer.
type Field struct {
	Name, Type string
	Schema     string // the named schema behind the type, or empty
	Required   bool
	Text       template.HTML
}

// Example is a piece of JSON.
type Example struct{ Label, Text string }

// Read reads the text of a contract.
func Read(text []byte) (*Contract, error) {
	var root yaml.Node
	if err := yaml.Unmarshal(text, &root); err != nil {
		return nil, fmt.Errorf("docs: %w", err)
	}
	var tree map[string]any
	if err := root.Decode(&tree); err != nil {
		return nil, fmt.Errorf("docs: %w", err)
	}
	r := &reader{tree}
	c := &Contract{Operations: map[string]*Operation{}, Schemas: map[string]*Schema{}}
	info := object(tree["info"])
	c.Title, c.Summary, c.About = str(info["title"]), str(info["summary"]), Prose(str(info["description"]))
	for _, t := range list(tree["tags"]) {
		m := object(t)
		c.Tags = append(c.Tags, Tag{Name: str(m["name"]), Description: str(m["description"])})
	}
	r.operations(c, pathsInOrder(&root))
	r.schemas(c)
	return c, nil
}

// pathsInOrder are the paths as the document lists them.
func pathsInOrder(root *yaml.Node) (out []string) {
	if len(root.Content) == 0 {
		return nil
	}
	for top, i := root.Content[0].Content, 0; i+1 < len(top); i += 2 {
		if top[i].Value != "paths" {
			continue
		}
		for k := 0; k+1 < len(top[i+1].Content); k += 2 {
			out = append(out, top[i+1].Content[k].Value)
		}
	}
	return out
}

type reader struct{ tree map[string]any }

// follow gives what a reference refers to, or the thing itself; a description beside the
// reference wins.
func (r *reader) follow(v any) map[string]any {
	m := object(v)
	ref := str(m["$ref"])
	if ref == "" {
		return m
	}
	at := any(r.tree)
	for part := range strings.SplitSeq(strings.TrimPrefix(ref, "#/"), "/") {
		at = object(at)[part]
	}
	target := object(at)
	if d := str(m["description"]); d != "" {
		merged := map[string]any{}
		for k, v := range target {
			merged[k] = v
		}
		merged["description"] = d
		return merged
	}
	return target
}

var methods = []string{"get", "post", "put", "patch", "delete"}

func (r *reader) operations(c *Contract, paths []string) {
	for _, path := range paths {
		item := object(object(r.tree["paths"])[path])
		for _, method := range methods {
			m := object(item[method])
			if m == nil {
				continue
			}
			op := r.operation(method, path, m)
			c.Operations[op.ID] = op
			for i := range c.Tags {
				if tags := list(m["tags"]); len(tags) > 0 && str(tags[0]) == c.Tags[i].Name {
					c.Tags[i].Operations = append(c.Tags[i].Operations, op)
				}
			}
		}
	}
}

func (r *reader) operation(method, path string, m map[string]any) *Operation {
	op := &Operation{ID: str(m["operationId"]), Method: strings.ToUpper(method), Path: path, Summary: str(m["summary"]), Text: Prose(str(m["description"]))}
	for _, s := range list(m["security"]) {
		for _, scopes := range object(s) {
			for _, scope := range list(scopes) {
				op.Scopes = append(op.Scopes, str(scope))
			}
		}
	}
	for _, p := range list(m["parameters"]) {
		q := r.follow(p)
		f := r.field(str(q["name"]), q["schema"])
		f.Required, f.Text = q["required"] == true, Prose(str(q["description"]))
		f.Type = strings.TrimSpace(str(q["in"]) + ", " + f.Type)
		op.Parameters = append(op.Parameters, f)
	}
	if body := r.follow(m["requestBody"]); body != nil {
		r.body(op, body)
	}
	for status, a := range object(m["responses"]) {
		answer := r.follow(a)
		f := Field{Name: status, Text: Prose(str(answer["description"]))}
		for media, content := range object(answer["content"]) {
			schema := r.field("", object(content)["schema"])
			f.Type, f.Schema = media, schema.Schema
			r.example(op, "", content)
		}
		op.Answers = append(op.Answers, f)
	}
	sort.Slice(op.Answers, func(i, k int) bool { return op.Answers[i].Name < op.Answers[k].Name })
	return op
}

func (r *reader) body(op *Operation, body map[string]any) {
	for media, content := range object(body["content"]) {
		f := r.field(media, object(content)["schema"])
		f.Required, f.Text = body["required"] == true, Prose(str(body["description"]))
		op.Body = &f
		r.example(op, media, content)
	}
}

func (r *reader) example(op *Operation, label string, content any) {
	if e, ok := object(content)["example"]; ok {
		op.Examples = append(op.Examples, Example{label, pretty(e)})
	}
}

// field describes a schema where it is used.
func (r *reader) field(name string, schema any) Field {
	m := object(schema)
	f := Field{Name: name, Text: Prose(str(m["description"]))}
	if ref := str(m["$ref"]); ref != "" {
		f.Schema = ref[strings.LastIndexByte(ref, '/')+1:]
		f.Type = f.Schema
		if f.Text == "" {
			f.Text = Prose(str(r.follow(m)["description"]))
		}
		return f
	}
	f.Type, f.Schema = r.typeOf(m)
	return f
}

// typeOf is a schema's type in a word, and the named schema in it.
func (r *reader) typeOf(m map[string]any) (name, schema string) {
	if m == nil {
		return "", ""
	}
	if items := object(m["items"]); items != nil {
		inner := r.field("", items)
		return "list of " + inner.Type, inner.Schema
	}
	for _, key := range []string{"oneOf", "anyOf", "allOf"} {
		var parts []string
		for _, v := range list(m[key]) {
			f := r.field("", v)
			parts, schema = append(parts, f.Type), f.Schema
		}
		if len(parts) > 0 {
			return strings.Join(parts, " or "), schema
		}
	}
	if words := list(m["enum"]); len(words) > 0 {
		parts := make([]string, len(words))
		for i, w := range words {
			parts[i] = fmt.Sprint(w)
		}
		return strings.Join(parts, ", "), ""
	}
	if c, ok := m["const"]; ok {
		return fmt.Sprint(c), ""
	}
	return fmt.Sprint(m["type"]), ""
}

func (r *reader) schemas(c *Contract) {
	all := object(object(r.tree["components"])["schemas"])
	for name, v := range all {
		m := object(v)
		s := &Schema{Name: name, Text: Prose(str(m["description"]))}
		s.Type, _ = r.typeOf(m)
		for _, w := range list(m["enum"]) {
			s.Values = append(s.Values, Field{Name: fmt.Sprint(w), Text: Prose(str(object(m["x-descriptions"])[fmt.Sprint(w)]))})
		}
		required := map[string]bool{}
		for _, q := range list(m["required"]) {
			required[str(q)] = true
		}
		for field, schema := range object(m["properties"]) {
			f := r.field(field, schema)
			f.Required = required[field]
			s.Fields = append(s.Fields, f)
		}
		sort.Slice(s.Fields, func(i, k int) bool {
			if s.Fields[i].Required != s.Fields[k].Required {
				return s.Fields[i].Required
			}
			return s.Fields[i].Name < s.Fields[k].Name
		})
		if e, ok := m["example"]; ok {
			s.Examples = append(s.Examples, Example{"", pretty(e)})
		}
		c.Schemas[name] = s
		c.SchemaNames = append(c.SchemaNames, name)
	}
	sort.Strings(c.SchemaNames)
}

func pretty(v any) string {
	if s, ok := v.(string); ok {
		return s
	}
	text, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return fmt.Sprint(v)
	}
	return string(text)
}

func object(v any) map[string]any { m, _ := v.(map[string]any); return m }

func list(v any) []any { l, _ := v.([]any); return l }

func str(v any) string { s, _ := v.(string); return s }
