package main

import (
	"context"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

// linter gathers what is wrong with one contract.
type linter struct {
	text   string
	faults []string
}

func (l *linter) fault(format string, args ...any) {
	l.faults = append(l.faults, fmt.Sprintf(format, args...))
}

// lint returns one line that says what was read, and the faults.
func lint(text []byte) (report string, faults []string) {
	l := &linter{text: string(text)}
	doc, err := openapi3.NewLoader().LoadFromData(text)
	if err != nil {
		return "", []string{err.Error()}
	}
	if err := doc.Validate(context.Background(), openapi3.EnableExamplesValidation()); err != nil {
		l.fault("%v", err)
	}
	operations := 0
	for _, path := range doc.Paths.InMatchingOrder() {
		for method, op := range doc.Paths.Value(path).Operations() {
			operations++
			l.operation(method+" "+path, strings.HasPrefix(path, "/v1/"), op)
		}
	}
	l.schemas(doc.Components.Schemas)
	slices.Sort(l.faults)
	return fmt.Sprintf("openapi.yaml: OpenAPI %s, %d operations, %d schemas, sound", doc.OpenAPI, operations, len(doc.Components.Schemas)), l.faults
}

// always are the statuses that every operation under /v1 can answer: a malformed
// request, too many, and a service that is not ready.
var always = []string{"400", "429", "503"}

func (l *linter) operation(name string, public bool, op *openapi3.Operation) {
	if op.OperationID == "" || op.Summary == "" {
		l.fault("%s: it needs an operationId and a summary", name)
	}
	for _, status := range always {
		if public && op.Responses.Value(status) == nil {
			l.fault("%s: it does not say what a %s looks like", name, status)
		}
	}
	for status, response := range op.Responses.Map() {
		if status >= "400" && response.Value.Content["application/problem+json"] == nil {
			l.fault("%s: a %s has to be application/problem+json", name, status)
		}
	}
	for _, p := range op.Parameters {
		if p.Value.In == openapi3.ParameterInQuery && !snake.MatchString(p.Value.Name) {
			l.fault("%s: the parameter %q is not in snake_case", name, p.Value.Name)
		}
	}
}

var snake = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)

func (l *linter) schemas(schemas openapi3.Schemas) {
	for _, name := range slices.Sorted(maps.Keys(schemas)) {
		ref := "#/components/schemas/" + name
		if !regexp.MustCompile(regexp.QuoteMeta(ref) + `\b`).MatchString(l.text) {
			l.fault("schema %s: nothing refers to it", name)
		}
		l.schema(name, schemas[name])
	}
}

// schema follows what stands in place; what is referred to is judged under its own name.
func (l *linter) schema(at string, s *openapi3.SchemaRef) {
	if s == nil || s.Ref != "" && strings.ContainsRune(at, '.') {
		return
	}
	v := s.Value
	if v.Type.Includes(openapi3.TypeNumber) && v.Format != "double" {
		l.fault("%s: a number has format double, or the generated type is a float32", at)
	}
	for _, name := range v.Required {
		if v.Properties[name] == nil {
			l.fault("%s: the required member %q is not described", at, name)
		}
	}
	for name, p := range v.Properties {
		if !snake.MatchString(name) {
			l.fault("%s.%s: it is not in snake_case", at, name)
		}
		l.schema(at+"."+name, p)
	}
	l.schema(at+".items", v.Items)
	for _, part := range slices.Concat(v.OneOf, v.AnyOf, v.AllOf) {
		l.schema(at+".part", part)
	}
}
