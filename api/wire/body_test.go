package wire

import (
	"encoding/json"
	"testing"

	"pgregory.net/rapid"
)

// A quantity is read as encoding/json reads it, whether or not it has to be asked.
func TestAQuantityIsTheTextOrTheNumberThatWasSent(t *testing.T) {
	for raw, want := range map[string]string{`24.50`: "24.5", `-1`: "-1", `1e2`: "100", `"78F"`: "78F", `"\u0037cm"`: "7cm", `"5\n"`: "5\n", `""`: "", `null`: "", `"22–27 °C"`: "22–27 °C"} {
		if got := quantityText(json.RawMessage(raw)); got != want {
			t.Errorf("%s is read as %q, not %q", raw, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		raw, err := json.Marshal(text)
		if err != nil {
			t.Fatal(err)
		}
		var want string
		if err := json.Unmarshal(raw, &want); err != nil {
			t.Fatal(err)
		}
		if got := quantityText(raw); got != want {
			t.Errorf("%s is read as %q, not %q", raw, got, want)
		}
	})
}
