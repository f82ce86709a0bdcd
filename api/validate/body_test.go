package validate

import (
	"encoding/json"
	"fmt"
	"testing"
)

// FuzzBody holds that no body is a fault, and that what is accepted is what
// encoding/json reads as well.
func FuzzBody(f *testing.F) {
	for _, seed := range []string{`{"species":["oscar"]}`, `{"species":[1e400]}`, `[`, `{"a":{"a":1,"a":2}}`, `"\ud800"`, "\xef\xbb\xbf{}"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, body string) {
		value, err := DecodeStrictly([]byte(body))
		var plain any
		if err == nil && json.Unmarshal([]byte(body), &plain) != nil {
			t.Errorf("%q was read as %v, and is not JSON", body, value)
		}
		if err == nil && fmt.Sprint(value) != fmt.Sprint(plain) {
			t.Errorf("%q was read as %v, not %v", body, value, plain)
		}
	})
}
