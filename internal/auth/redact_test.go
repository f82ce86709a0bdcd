package auth_test

import (
	"strings"
	"testing"

	"commensal/internal/auth"
)

func TestNoSecretSurvivesRedaction(t *testing.T) {
	for range 100 {
		text, id, _ := auth.NewText()
		secret := text[22:]
		for _, line := range []string{
			text, "/v1/keys/" + text, "a " + text + " b " + text, strings.ToUpper(text), text[:40], "_" + text, "x_cmsl_" + text,
			text[:5] + strings.ReplaceAll(text[5:], "_", ""), // its middle mark lost
		} {
			got := auth.Redact(line)
			if low := strings.ToLower(got); strings.Contains(low, secret[:8]) || strings.Contains(low, secret[len(secret)-8:]) {
				t.Errorf("%q became %q", line, got)
			}
		}
		if got := auth.Redact("key cmsl_" + id + "_" + secret); got != "key cmsl_"+id+"_(hidden)" {
			t.Errorf("the public part is gone: %q", got)
		}
	}
}

func TestOtherTextIsLeftAlone(t *testing.T) {
	for _, line := range []string{"", "/v1/species/betta_splendens", "cmsl_", "_", "snake_case_all_over", "CMSL", "cmsl_aaaaaaaaaaaaaaaa"} {
		if got := auth.Redact(line); got != line {
			t.Errorf("%q became %q", line, got)
		}
	}
}
