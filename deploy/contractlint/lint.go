package main

import (
	"context"
	"fmt"
	"iter"
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
			l.operation(method+" "+path, op)
		}
	}
	l.schemas(doc.Components.Schemas)
	l.names(doc.Components)
	l.neutral()
	slices.Sort(l.faults)
	return fmt.Sprintf("openapi.yaml: OpenAPI %s, %d operations, %d schemas, sound", doc.OpenAPI, operations, len(doc.Components.Schemas)), l.faults
}

// readable is an operationId that reads as a method of a client: a verb, and what it is done to.
var readable = regexp.MustCompile(`^[a-z]+([A-Z][a-z]+)+$`)

func (l *linter) operation(name string, op *openapi3.Operation) {
	if op.OperationID == "" || op.Summary == "" {
		l.fault("%s: it needs an operationId and a summary", name)
	}
	if !readable.MatchString(op.OperationID) || strings.HasPrefix(op.OperationID, "post") || strings.HasPrefix(op.OperationID, "put") {
		l.fault("%s: the operationId %q does not read as what a client does: a verb, not a method of HTTP, and its object", name, op.OperationID)
	}
	if op.Responses.Default() == nil {
		l.fault("%s: it does not say what a problem looks like", name)
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
		if p.Value.Description == "" {
			l.fault("%s: the parameter %q is not described", name, p.Value.Name)
		}
	}
	l.examples(name, op)
}

// examples wants one of every body, and one of an answer in JSON where there is such an answer.
func (l *linter) examples(name string, op *openapi3.Operation) {
	if op.RequestBody != nil {
		for media, body := range op.RequestBody.Value.Content {
			if body.Example == nil {
				l.fault("%s: its body as %s has no example", name, media)
			}
		}
	}
	answers, shown := 0, 0
	for status, response := range op.Responses.Map() {
		if answer := response.Value.Content["application/json"]; strings.HasPrefix(status, "2") && answer != nil {
			answers++
			if answer.Example != nil {
				shown++
			}
		}
	}
	if answers > 0 && shown == 0 {
		l.fault("%s: no answer of it has an example", name)
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

// names wants components of every kind to have names of their own: generators make types of them all.
func (l *linter) names(c *openapi3.Components) {
	seen := map[string]string{}
	take := func(kind string, names iter.Seq[string]) {
		for name := range names {
			key := strings.ToLower(name)
			if other, taken := seen[key]; taken {
				l.fault("the %s %s has the name of a %s", kind, name, other)
			}
			seen[key] = kind
		}
	}
	take("schema", maps.Keys(c.Schemas))
	take("parameter", maps.Keys(c.Parameters))
	take("response", maps.Keys(c.Responses))
	take("security scheme", maps.Keys(c.SecuritySchemes))
}

// neutral wants nothing in the contract that only one language understands: that stands in an overlay of its generator.
func (l *linter) neutral() {
	if hint := regexp.MustCompile(`\bx-(go|oapi|enum)[a-z-]*`).FindString(l.text); hint != "" {
		l.fault("%s is for a generator: put it into its overlay", hint)
	}
}

// schema follows what stands in place; what is referred to is judged under its own name.
func (l *linter) schema(at string, s *openapi3.SchemaRef) {
	if s == nil || s.Ref != "" && strings.ContainsRune(at, '.') {
		return
	}
	v := s.Value
	if v.Description == "" && (!strings.ContainsRune(at, '.') || strings.Count(at, ".") == 1 && !strings.HasSuffix(at, ".items")) && !strings.HasSuffix(at, ".part") {
		l.fault("%s: it is not described", at)
	}
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
