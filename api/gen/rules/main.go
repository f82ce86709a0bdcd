// Command rules writes what requests are held against at run time: the contract as JSON, without words and examples, which
// make two thirds of it and take the program many times as long to read.
package main

import (
	"encoding/json"
	"fmt"
	"os"

	"go.yaml.in/yaml/v3"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "rules:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 2 {
		return fmt.Errorf("usage: rules openapi.yaml rules.gen.json")
	}
	text, err := os.ReadFile(args[0])
	if err != nil {
		return err
	}
	var document map[string]any
	if err := yaml.Unmarshal(text, &document); err != nil {
		return err
	}
	delete(document, "tags")
	rules, err := json.Marshal(bare(document, false))
	if err != nil {
		return err
	}
	return os.WriteFile(args[1], append(rules, '\n'), 0o644)
}

// bare is a part of the contract without words and examples. Under names, keys are what the contract calls things, be it
// "description" or "example".
func bare(v any, names bool) any {
	switch v := v.(type) {
	case map[string]any:
		out := make(map[string]any, len(v))
		for key, x := range v {
			if !names && spoken[key] {
				continue
			}
			out[key] = bare(x, !names && naming[key])
		}
		return out
	case []any:
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = bare(x, false)
		}
		return out
	}
	return v
}

// spoken are the keys that are there for people, and what only answers have.
var spoken = map[string]bool{"description": true, "summary": true, "example": true, "examples": true, "headers": true}

// naming are the keys whose own keys are names.
var naming = map[string]bool{"properties": true, "schemas": true, "parameters": true, "responses": true, "paths": true, "content": true}
