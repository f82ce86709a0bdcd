package validate

import (
	"encoding/json"
	"fmt"

	"commensal/api/gen"
)

// Patch applies a JSON Merge Patch to a thing as it would be written, holds the result
// against the body of the operation that replaces such a thing, and reads it.
func (c *Contract) Patch(now any, patch gen.MergePatch, replacing string, into any) error {
	return patched(c.Operations[replacing].Fits, now, patch, into)
}

// PatchTo is [Contract.Patch] for a thing that no operation replaces alone: the result is held against a schema of the
// contract's components.
func (c *Contract) PatchTo(now any, patch gen.MergePatch, schema string, into any) error {
	s, err := c.Schema("/components/schemas/" + schema)
	if err != nil {
		return err
	}
	return patched((&Operation{body: func() *body { return newBody(s) }}).Fits, now, patch, into)
}

func patched(fits func(any) error, now any, patch gen.MergePatch, into any) error {
	target, err := plainJSON(now)
	if err != nil {
		return err
	}
	change, err := DecodeStrictly(patch)
	if err != nil {
		return err
	}
	merged := mergePatch(target, change)
	if err := fits(merged); err != nil {
		return err
	}
	text, err := json.Marshal(merged)
	if err != nil {
		return err
	}
	return json.Unmarshal(text, into) // it has just been held against the contract
}

// mergePatch is the algorithm of RFC 7396, section 2.
func mergePatch(target, patch any) any {
	changes, ok := patch.(map[string]any)
	if !ok {
		return patch
	}
	object, ok := target.(map[string]any)
	if !ok {
		object = map[string]any{}
	}
	for name, value := range changes {
		if value == nil {
			delete(object, name)
		} else {
			object[name] = mergePatch(object[name], value)
		}
	}
	return object
}

// Names reports whether a patch says something of a field.
func Names(patch gen.MergePatch, field string) bool {
	var fields map[string]json.RawMessage
	if json.Unmarshal(patch, &fields) != nil {
		return false
	}
	_, said := fields[field]
	return said
}

// plainJSON is a value as JSON has it: maps, lists, numbers, texts.
func plainJSON(v any) (out any, err error) {
	text, err := json.Marshal(v)
	if err == nil {
		err = json.Unmarshal(text, &out)
	}
	if err != nil {
		return nil, fmt.Errorf("api: patch: %w", err)
	}
	return out, nil
}

// TextOf is the text that a patch gives a field; "" where it gives none.
func TextOf(patch gen.MergePatch, field string) string {
	var fields map[string]json.RawMessage
	var text string
	if json.Unmarshal(patch, &fields) != nil || json.Unmarshal(fields[field], &text) != nil {
		return ""
	}
	return text
}
