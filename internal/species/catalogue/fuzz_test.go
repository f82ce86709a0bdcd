package catalogue_test

import (
	"errors"
	"reflect"
	"testing"

	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/entry"
)

// Whatever the bytes, reading gives entries or faults with a line, never both, and
// the text of entries that were read can be written and read again.
func FuzzParseFile(f *testing.F) {
	for _, seed := range []string{
		smallFile, head, head + "  names:\n    en: [a, \"b\\u00e9\"]\n", "[]", "- {scientific_name: A b, zones: 1 0 0 memory}\n", "\xef\xbb\xbf- a",
		"- &a [*a]\n", "? - a\n: !!x b\n", "- scientific_name: >\n    A\n    b\n", "--- |\n a\n...\n%YAML 1.1\n---\n", "{a: [b, {c: d}]}", "- 'a''b'\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := catalogue.ParseFile("f", data)
		if err != nil {
			checkFaults(t, err)
			if list != nil {
				t.Error("entries beside faults")
			}
			return
		}
		again, err := catalogue.ParseFile("f", []byte(format(t, list)))
		if err != nil || !reflect.DeepEqual(again, list) {
			t.Errorf("entries %v read again as %v, %v", list, again, err)
		}
	})
}

func checkFaults(t *testing.T, err error) {
	var errs entry.Errors
	if !errors.As(err, &errs) || len(errs) == 0 || len(errs) > entry.MaxErrors {
		t.Fatalf("error %v is no list of faults", err)
	}
	for _, le := range errs {
		if le.Line < 1 || le.File != "f" || le.Detail == "" {
			t.Errorf("fault without a place or a text: %+v", le)
		}
	}
}
