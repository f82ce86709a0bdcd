// Package validate holds requests against the contract, which is compiled once at the start, and stops those that
// break it with a problem that names every spot.
package validate

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"

	"commensal/internal/moment"
	"github.com/labstack/echo/v4"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"
)

// Contract is the compiled contract: what a request to each operation may look like.
type Contract struct {
	Document   map[string]any
	Operations map[string]*Operation // by operationId
	// compiler gives the compiler of schemas once it has read the document, which takes longer than all the rest of
	// the start, and compiling is held while one is compiled.
	compiler  func() (*jsonschema.Compiler, error)
	compiling sync.Mutex
}

// Operation is one path and method.
type Operation struct {
	ID, Method, Path string
	Parameters       []parameter
	body             func() *body // compiled when it is first needed; nil where the operation has no body
	// AlsoWrong finds what else is wrong with a body that breaks the contract; nil for nothing.
	AlsoWrong func(body any) []gen.FieldError
	// Cached is the answer to the same request made before; nil for none.
	Cached func(c echo.Context, operation string, body []byte) *respond.Reply
	// Begins lets a request begin whose body of so many bytes has arrived and was not read into values yet; nil where each may.
	Begins func(ctx context.Context, bytes int) error
	// Permits says whether what a body asks for is permitted, where that depends on the body; nil
	// where it does not.
	Permits  func(c echo.Context, body *Sent) error
	Statuses []int        // that it lists
	Default  bool         // whether it may answer other problems too
	Scopes   []auth.Scope // one of them is needed; none on an operation for everybody
	Tags     []string
	Media    string // of the body in JSON
	// Texts are media types of a body that is text of its own and not held against a schema: the handler reads it.
	Texts   []string
	MaxBody int64 // the largest body in bytes that is read
}

// parameter is one parameter of an operation.
type parameter struct {
	Name, In string
	kind     string                    // the JSON type of its value
	words    []string                  // the enumeration, where it is one
	format   string                    // that its text has, where it has one
	most     int                       // the most characters of a text that has no other rule; 0 where it has
	schema   func() *jsonschema.Schema // compiled when it is first needed
}

// dayOrTime is the format of what is a day or a time.
var dayOrTime = &jsonschema.Format{Name: "day-or-time", Validate: func(v any) error {
	text, ok := v.(string)
	if !ok {
		return nil // its type is another rule
	}
	_, err := moment.Parse(text)
	return err
}}

const contractURL = "openapi.yaml"

// Compile reads the OpenAPI document and compiles every schema that requests
// are checked against.
func Compile(text []byte) (*Contract, error) {
	var document map[string]any
	if err := yaml.Unmarshal(text, &document); err != nil {
		return nil, fmt.Errorf("api: the contract is not YAML: %w", err)
	}
	c, err := read(document)
	if err != nil {
		return nil, err
	}
	return c, c.CompileAll()
}

// BuiltIn reads the rules that are built into the program. It knows no words, examples or headers of answers, and compiles a schema
// when it is first needed: it is many times as quick as [Compile], and a program that asks one question compiles
// next to nothing. A test compiles them all.
func BuiltIn() (*Contract, error) {
	var document map[string]any
	if err := json.Unmarshal(gen.Rules(), &document); err != nil {
		return nil, fmt.Errorf("api: the rules of the contract: %w", err)
	}
	return read(document)
}

func read(document map[string]any) (*Contract, error) {
	c := &Contract{Document: document, Operations: map[string]*Operation{}}
	c.compiler = sync.OnceValues(func() (*jsonschema.Compiler, error) {
		compiler := jsonschema.NewCompiler()
		compiler.AssertFormat() // a moment has to be one
		compiler.RegisterFormat(dayOrTime)
		if err := compiler.AddResource(contractURL, AsJSON(document)); err != nil {
			return nil, fmt.Errorf("api: the contract: %w", err)
		}
		return compiler, nil
	})
	for path, item := range AsMap(document["paths"]) {
		for method, op := range AsMap(item) {
			pointer := "/paths/" + respond.PointerToken(path) + "/" + method
			if err := c.addOperation(method, path, pointer, AsMap(op)); err != nil {
				return nil, fmt.Errorf("api: the contract, %s %s: %w", method, path, err)
			}
		}
	}
	return c, nil
}

func (c *Contract) addOperation(method, path, pointer string, op map[string]any) error {
	o := &Operation{Method: strings.ToUpper(method), Path: path}
	o.ID, _ = op["operationId"].(string)
	for _, t := range AsList(op["tags"]) {
		tag, _ := t.(string)
		o.Tags = append(o.Tags, tag)
	}
	for i, p := range AsList(op["parameters"]) {
		o.Parameters = append(o.Parameters, c.parameter(pointer+"/parameters/"+strconv.Itoa(i), AsMap(p)))
	}
	for status := range AsMap(op["responses"]) {
		if status == "default" {
			o.Default = true
			continue
		}
		code, err := strconv.Atoi(status)
		if err != nil {
			return err
		}
		o.Statuses = append(o.Statuses, code)
	}
	slices.Sort(o.Statuses)
	var err error
	if o.Scopes, err = scopesOf(op); err != nil {
		return err
	}
	o.takeBody(c, pointer+"/requestBody", AsMap(op["requestBody"]))
	c.Operations[o.ID] = o
	return nil
}

// takeBody reads what a body may be: one form in JSON, and texts beside it.
func (o *Operation) takeBody(c *Contract, pointer string, described map[string]any) {
	o.MaxBody = cmp.Or(int64(whole(described["x-max-body-bytes"])), MaxBody)
	for media := range AsMap(described["content"]) {
		if strings.HasPrefix(media, "text/") {
			o.Texts = append(o.Texts, media)
			continue
		}
		o.Media = media
		at := pointer + "/content/" + respond.PointerToken(media) + "/schema"
		o.body = sync.OnceValue(func() *body { return newBody(c.sound(at)) })
	}
}

// parameter compiles one parameter, following a reference to the components.
func (c *Contract) parameter(pointer string, p map[string]any) parameter {
	if ref, ok := p["$ref"].(string); ok {
		pointer = strings.TrimPrefix(ref, "#")
		p = AsMap(c.At(pointer))
	}
	out := parameter{}
	out.Name, _ = p["name"].(string)
	out.In, _ = p["in"].(string)
	out.schema = sync.OnceValue(func() *jsonschema.Schema { return c.sound(pointer + "/schema") })
	described := AsMap(p["schema"])
	if ref, ok := described["$ref"].(string); ok {
		described = AsMap(c.At(strings.TrimPrefix(ref, "#")))
	}
	out.kind, _ = described["type"].(string)
	for _, w := range AsList(described["enum"]) {
		if word, ok := w.(string); ok {
			out.words = append(out.words, word)
		}
	}
	out.format, _ = described["format"].(string)
	if described["enum"] == nil && described["pattern"] == nil && out.format == "" && whole(described["minLength"]) <= 1 {
		out.most = whole(described["maxLength"])
	}
	return out
}

// fits reports whether a value is as its schema says. Short texts are let through
// without asking the schema.
func (p *parameter) fits(text string) bool {
	if text != "" && len(text) <= p.most {
		return true
	}
	return p.schema().Validate(text) == nil
}

// Schema is the compiled schema at a JSON Pointer. It may be called from many goroutines at once.
func (c *Contract) Schema(pointer string) (*jsonschema.Schema, error) {
	compiler, err := c.compiler()
	if err != nil {
		return nil, err
	}
	c.compiling.Lock()
	defer c.compiling.Unlock()
	return compiler.Compile(contractURL + "#" + pointer)
}

// sound is a schema that was found to be one by [Contract.CompileAll], which tests do with the built-in rules.
func (c *Contract) sound(pointer string) *jsonschema.Schema {
	schema, err := c.Schema(pointer)
	if err != nil {
		panic(err)
	}
	return schema
}

// CompileAll compiles every schema that requests are checked against, and so finds out whether they can be.
func (c *Contract) CompileAll() (err error) {
	if _, err := c.compiler(); err != nil {
		return err
	}
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("api: the contract: %v", fault)
		}
	}()
	for _, o := range c.Operations {
		for i := range o.Parameters {
			o.Parameters[i].schema()
		}
		if o.body != nil {
			o.body()
		}
	}
	return nil
}

// At is the part of the document at a JSON Pointer, or nil.
func (c *Contract) At(pointer string) any {
	var here any = c.Document
	for token := range strings.SplitSeq(strings.TrimPrefix(pointer, "/"), "/") {
		here = AsMap(here)[strings.NewReplacer("~1", "/", "~0", "~").Replace(token)]
	}
	return here
}

// Described is what the document says of an operation.
func (c *Contract) Described(o *Operation) map[string]any {
	return AsMap(AsMap(AsMap(c.Document["paths"])[o.Path])[strings.ToLower(o.Method)])
}

// Lists reports whether the operation lists a status.
func (o *Operation) Lists(status int) bool { return slices.Contains(o.Statuses, status) }

// Public reports whether the operation is one of those for programs, whose requests are held against the contract.
func (o *Operation) Public() bool { return strings.HasPrefix(o.Path, "/v1/") }

// Query is the query parameter of a name.
func (o *Operation) Query(name string) (parameter, bool) {
	for _, p := range o.Parameters {
		if p.In == "query" && p.Name == name {
			return p, true
		}
	}
	return parameter{}, false
}

func AsMap(v any) map[string]any {
	m, _ := v.(map[string]any)
	return m
}

func AsList(v any) []any {
	l, _ := v.([]any)
	return l
}

// whole is a whole number, however it was decoded; 0 for none.
func whole(v any) int {
	switch v := v.(type) {
	case int:
		return v
	case float64:
		return int(v)
	}
	return 0
}

// AsJSON turns what YAML decodes to into what JSON would: numbers as float64.
func AsJSON(v any) any {
	switch v := v.(type) {
	case map[string]any:
		out := make(map[string]any, len(v))
		for k, x := range v {
			out[k] = AsJSON(x)
		}
		return out
	case []any:
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = AsJSON(x)
		}
		return out
	case int:
		return float64(v)
	}
	return v
}

// Follow gives what a reference refers to, or the thing itself.
func (c *Contract) Follow(v any) map[string]any {
	m := AsMap(v)
	if ref, ok := m["$ref"].(string); ok {
		return AsMap(c.At(strings.TrimPrefix(ref, "#")))
	}
	return m
}

// KeyedRoutes lists the operations that need a key, as the router names them.
func (c *Contract) KeyedRoutes() map[string]bool {
	out := map[string]bool{}
	for _, op := range c.Operations {
		if path := strings.NewReplacer("{", ":", "}", "").Replace(op.Path); len(op.Scopes) > 0 {
			out[op.Method+" "+path] = true
			if op.Method == http.MethodGet {
				out[http.MethodHead+" "+path] = true
			}
		}
	}
	return out
}
