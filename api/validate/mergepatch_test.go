package validate

import (
	"encoding/json"
	"reflect"
	"testing"
)

// The examples of RFC 7396, appendix A.
func TestMergePatchAgreesWithTheStandard(t *testing.T) {
	for _, c := range []struct{ original, patch, result string }{
		{`{"a":"b"}`, `{"a":"c"}`, `{"a":"c"}`},
		{`{"a":"b"}`, `{"b":"c"}`, `{"a":"b","b":"c"}`},
		{`{"a":"b"}`, `{"a":null}`, `{}`},
		{`{"a":"b","b":"c"}`, `{"a":null}`, `{"b":"c"}`},
		{`{"a":["b"]}`, `{"a":"c"}`, `{"a":"c"}`},
		{`{"a":"c"}`, `{"a":["b"]}`, `{"a":["b"]}`},
		{`{"a":{"b":"c"}}`, `{"a":{"b":"d","c":null}}`, `{"a":{"b":"d"}}`},
		{`{"a":[{"b":"c"}]}`, `{"a":[1]}`, `{"a":[1]}`},
		{`["a","b"]`, `["c","d"]`, `["c","d"]`},
		{`{"a":"b"}`, `["c"]`, `["c"]`},
		{`{"a":"foo"}`, `null`, `null`},
		{`{"a":"foo"}`, `"bar"`, `"bar"`},
		{`{"e":null}`, `{"a":1}`, `{"e":null,"a":1}`},
		{`[1,2]`, `{"a":"b","c":null}`, `{"a":"b"}`},
		{`{}`, `{"a":{"bb":{"ccc":null}}}`, `{"a":{"bb":{}}}`},
	} {
		got := mergePatch(decoded(t, c.original), decoded(t, c.patch))
		if !reflect.DeepEqual(got, decoded(t, c.result)) {
			t.Errorf("%s with %s: %v, want %s", c.original, c.patch, got, c.result)
		}
	}
}

func decoded(t *testing.T, text string) (v any) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// Whatever the patch, a second time changes nothing, and no null is left of it.
func FuzzMergePatch(f *testing.F) {
	f.Add(`{"a":{"b":"c"}}`, `{"a":{"b":null,"d":1}}`)
	f.Add(`{"a":[1]}`, `{"a":{"x":null}}`)
	f.Fuzz(func(t *testing.T, target, patch string) {
		var now, again, change any
		if json.Unmarshal([]byte(target), &now) != nil || json.Unmarshal([]byte(patch), &change) != nil {
			t.Skip()
		}
		once, err := json.Marshal(mergePatch(now, change))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(once, &again); err != nil {
			t.Fatal(err)
		}
		twice, err := json.Marshal(mergePatch(again, change))
		if err != nil || string(once) != string(twice) {
			t.Errorf("%s with %s: once %s, twice %s", target, patch, once, twice)
		}
	})
}
