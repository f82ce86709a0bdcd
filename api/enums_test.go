package api_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/validate"
)

// A word that the contract does not know is answered with all those that it does, wherever in a request it stands.
func TestAWrongWordIsAnsweredWithTheRightOnes(t *testing.T) {
	h := apitest.NewService(t)
	ours := h.Things("here")
	for name, word := range map[string]string{"species": "oscar", "first": "oscar", "second": "guppy"} {
		ours[name] = word
	}
	all, parameters, fields := apitest.Contract().Operations, 0, 0
	for _, id := range slices.Sorted(maps.Keys(all)) {
		op := all[id]
		if !op.Public() {
			continue
		}
		var key []string
		if len(op.Scopes) > 0 {
			key = h.Good(op, "here")
		}
		described := apitest.Contract().Described(op)
		for _, p := range validate.AsList(described["parameters"]) {
			p := apitest.Contract().Follow(p)
			words := validate.AsList(apitest.Contract().Follow(p["schema"])["enum"])
			name, _ := p["name"].(string)
			if len(words) == 0 {
				continue
			}
			parameters++
			path, headers := ours.At(t, op), append([]string{"Content-Type", op.Media}, key...)
			if p["in"] == "query" {
				path += "?" + name + "=nosuchword"
			} else {
				headers = append(headers, name, "nosuchword")
			}
			body := ""
			if op.HasBody() && op.Media != validate.LinesMedia {
				body = apitest.ExampleBody(t, op)
			}
			namesWords(t, op.ID, h.Do(op.Method, path, body, headers...), fmt.Sprintf("/%s/%s", p["in"], name), words)
		}
		if !op.HasBody() || op.Media == validate.LinesMedia {
			continue
		}
		schema := schemaOf(op)
		for pointer, described := range fieldsOf(schema, func(s map[string]any) bool { return s["enum"] != nil }) {
			fields++
			body := with(t, apitest.ExampleBody(t, op), pointer, "nosuchword")
			namesWords(t, op.ID, h.CallWith(op, ours, body, key...), pointer, validate.AsList(described["enum"]))
		}
	}
	if parameters < 30 || fields < 50 {
		t.Errorf("only %d parameters and %d fields have words", parameters, fields)
	}
}

// schemaOf is the schema of an operation's body in JSON.
func schemaOf(op *validate.Operation) any {
	content := validate.AsMap(validate.AsMap(apitest.Contract().Described(op)["requestBody"])["content"])
	return validate.AsMap(content[op.Media])["schema"]
}

// namesWords wants a problem at a place whose fix names all words.
func namesWords(t *testing.T, what string, a apitest.Answer, pointer string, words []any) {
	t.Helper()
	p := apitest.ProblemIn(t, a)
	if a.Code != http.StatusBadRequest || p.Errors == nil {
		t.Errorf("%s %s: %d %s", what, pointer, a.Code, a.Body)
		return
	}
	at := slices.IndexFunc(*p.Errors, func(e gen.FieldError) bool { return e.Pointer == pointer })
	if at < 0 || (*p.Errors)[at].Fix == nil {
		t.Errorf("%s %s: %s", what, pointer, a.Body)
		return
	}
	for _, w := range words {
		if !strings.Contains(*(*p.Errors)[at].Fix, fmt.Sprint(w)) {
			t.Errorf("%s %s: %q does not name %v", what, pointer, *(*p.Errors)[at].Fix, w)
		}
	}
}

// fieldsOf are the fields of a body that are as wanted, each where it stands, down to the depth to which bodies are nested.
func fieldsOf(schema any, wanted func(map[string]any) bool) map[string]map[string]any {
	out := map[string]map[string]any{}
	var look func(described any, at string, depth int)
	look = func(described any, at string, depth int) {
		schema := apitest.Contract().Follow(described)
		if depth > 6 {
			return
		}
		if wanted(schema) {
			out[at] = schema
		}
		for name, property := range validate.AsMap(schema["properties"]) {
			look(property, at+"/"+name, depth+1)
		}
		if items := schema["items"]; items != nil {
			look(items, at+"/0", depth+1)
		}
		for _, part := range append(validate.AsList(schema["oneOf"]), validate.AsList(schema["allOf"])...) {
			look(part, at, depth+1)
		}
	}
	look(schema, "", 0)
	return out
}

// with is a body with a value at a place; what it takes to get there is made.
func with(t *testing.T, body, pointer string, value any) string {
	t.Helper()
	var whole any
	if err := json.Unmarshal([]byte(body), &whole); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(put(whole, strings.Split(pointer, "/")[1:], value))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func put(whole any, path []string, value any) any {
	if len(path) == 0 {
		return value
	}
	if _, err := strconv.Atoi(path[0]); err == nil {
		list, _ := whole.([]any)
		if len(list) == 0 {
			list = []any{nil}
		}
		list[0] = put(list[0], path[1:], value)
		return list
	}
	object, ok := whole.(map[string]any)
	if !ok {
		object = map[string]any{}
	}
	object[path[0]] = put(object[path[0]], path[1:], value)
	return object
}
