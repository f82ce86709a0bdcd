package api

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/internal/auth"

	"github.com/labstack/echo/v4"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"
)

// contract is the compiled contract: what a request to each operation may look like.
type contract struct {
	document   map[string]any
	compiler   *jsonschema.Compiler
	operations map[string]*operation // by operationId
}

// operation is one path and method.
type operation struct {
	id, method, path string
	parameters       []parameter
	body             *jsonschema.Schema // nil where the operation has no body
	// also finds what else is wrong with a body that breaks the contract; nil for nothing.
	also func(body any) []gen.FieldError
	// kept is the answer to the same request made before; nil for none.
	kept func(c echo.Context, o *operation, body []byte) *reply
	// permits says whether what a body asks for is permitted, where that depends on the body; nil
	// where it does not.
	permits  func(c echo.Context, body any, text []byte) error
	statuses []int
	scopes   []auth.Scope // one of them is needed; none on an operation for everybody
	media    string       // of the body
}

// parameter is one parameter of an operation.
type parameter struct {
	name, in string
	kind     string   // the JSON type of its value
	words    []string // the enumeration, where it is one
	most     int      // the most characters of a text that has no other rule; 0 where it has
	schema   *jsonschema.Schema
}

const contractURL = "openapi.yaml"

// compileContract reads the OpenAPI document and compiles every schema that requests
// are checked against.
func compileContract(text []byte) (*contract, error) {
	c := &contract{compiler: jsonschema.NewCompiler(), operations: map[string]*operation{}}
	c.compiler.AssertFormat() // a moment has to be one
	if err := yaml.Unmarshal(text, &c.document); err != nil {
		return nil, fmt.Errorf("api: the contract is not YAML: %w", err)
	}
	if err := c.compiler.AddResource(contractURL, asJSON(c.document)); err != nil {
		return nil, fmt.Errorf("api: the contract: %w", err)
	}
	paths, _ := c.document["paths"].(map[string]any)
	for path, item := range paths {
		for method, op := range asMap(item) {
			pointer := "/paths/" + pointerToken(path) + "/" + method
			if err := c.addOperation(method, path, pointer, asMap(op)); err != nil {
				return nil, fmt.Errorf("api: the contract, %s %s: %w", method, path, err)
			}
		}
	}
	return c, nil
}

func (c *contract) addOperation(method, path, pointer string, op map[string]any) error {
	o := &operation{method: strings.ToUpper(method), path: path}
	o.id, _ = op["operationId"].(string)
	for i, p := range asList(op["parameters"]) {
		param, err := c.parameter(pointer+"/parameters/"+strconv.Itoa(i), asMap(p))
		if err != nil {
			return err
		}
		o.parameters = append(o.parameters, param)
	}
	for status := range asMap(op["responses"]) {
		code, err := strconv.Atoi(status)
		if err != nil {
			return err
		}
		o.statuses = append(o.statuses, code)
	}
	slices.Sort(o.statuses)
	var err error
	if o.scopes, err = scopesOf(op); err != nil {
		return err
	}
	for media := range asMap(asMap(op["requestBody"])["content"]) { // there is one
		o.media = media
		if o.body, err = c.schema(pointer + "/requestBody/content/" + pointerToken(media) + "/schema"); err != nil {
			return err
		}
	}
	c.operations[o.id] = o
	return nil
}

// parameter compiles one parameter, following a reference to the components.
func (c *contract) parameter(pointer string, p map[string]any) (parameter, error) {
	if ref, ok := p["$ref"].(string); ok {
		pointer = strings.TrimPrefix(ref, "#")
		p = asMap(c.at(pointer))
	}
	out := parameter{}
	out.name, _ = p["name"].(string)
	out.in, _ = p["in"].(string)
	schema, err := c.schema(pointer + "/schema")
	if err != nil {
		return out, err
	}
	out.schema = schema
	described := asMap(p["schema"])
	if ref, ok := described["$ref"].(string); ok {
		described = asMap(c.at(strings.TrimPrefix(ref, "#")))
	}
	out.kind, _ = described["type"].(string)
	for _, w := range asList(described["enum"]) {
		if word, ok := w.(string); ok {
			out.words = append(out.words, word)
		}
	}
	if most, ok := described["maxLength"].(int); ok && described["enum"] == nil && described["pattern"] == nil {
		out.most = most
	}
	return out, nil
}

// fits reports whether a value is as its schema says. Short texts are let through
// without asking the schema.
func (p *parameter) fits(text string) bool {
	if text != "" && len(text) <= p.most {
		return true
	}
	return p.schema.Validate(text) == nil
}

func (c *contract) schema(pointer string) (*jsonschema.Schema, error) {
	return c.compiler.Compile(contractURL + "#" + pointer)
}

// at is the part of the document at a JSON Pointer, or nil.
func (c *contract) at(pointer string) any {
	var here any = c.document
	for token := range strings.SplitSeq(strings.TrimPrefix(pointer, "/"), "/") {
		here = asMap(here)[strings.NewReplacer("~1", "/", "~0", "~").Replace(token)]
	}
	return here
}

// documents reports whether the operation documents a status.
func (o *operation) documents(status int) bool { return slices.Contains(o.statuses, status) }

// query is the query parameter of a name.
func (o *operation) query(name string) (parameter, bool) {
	for _, p := range o.parameters {
		if p.in == "query" && p.name == name {
			return p, true
		}
	}
	return parameter{}, false
}

func asMap(v any) map[string]any {
	m, _ := v.(map[string]any)
	return m
}

func asList(v any) []any {
	l, _ := v.([]any)
	return l
}

// pointerToken escapes one token of a JSON Pointer (RFC 6901).
func pointerToken(s string) string {
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(s)
}

// asJSON turns what YAML decodes to into what JSON would: numbers as float64.
func asJSON(v any) any {
	switch v := v.(type) {
	case map[string]any:
		out := make(map[string]any, len(v))
		for k, x := range v {
			out[k] = asJSON(x)
		}
		return out
	case []any:
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = asJSON(x)
		}
		return out
	case int:
		return float64(v)
	}
	return v
}
