package auth_test

import (
	"errors"
	"regexp"
	"testing"

	"commensal/internal/auth"
)

func TestAKeyIsRecognisedAndTakenApart(t *testing.T) {
	shape := regexp.MustCompile(`^cmsl_[a-z2-7]{16}_[a-z2-7]{39}$`)
	seen := map[string]bool{}
	for range 100 {
		text, id, hash := auth.NewText()
		if !shape.MatchString(text) {
			t.Fatalf("%q is not of the shape a leak scanner looks for", text)
		}
		gotID, gotHash, err := auth.ParseText(text)
		if err != nil || gotID != id || gotHash != hash {
			t.Fatalf("%q: id %q, want %q (%v)", text, gotID, id, err)
		}
		if seen[id] || seen[text] {
			t.Fatalf("%q came twice", text)
		}
		seen[id], seen[text] = true, true
	}
}

func TestEverySlipInAKeyIsSeen(t *testing.T) {
	text, _, _ := auth.NewText()
	for i := range text {
		for _, c := range []byte("aA2z7_ \x00") {
			if text[i] == c {
				continue
			}
			slip := text[:i] + string(c) + text[i+1:]
			if _, _, err := auth.ParseText(slip); !errors.Is(err, auth.ErrMalformed) {
				t.Errorf("%q passes for %q", slip, text)
			}
		}
	}
	for _, slip := range []string{"", "cmsl_", text[:len(text)-1], text + "a", " " + text, text[5:]} {
		if _, _, err := auth.ParseText(slip); !errors.Is(err, auth.ErrMalformed) {
			t.Errorf("%q passes", slip)
		}
	}
}

func FuzzParseText(f *testing.F) {
	text, _, _ := auth.NewText()
	f.Add(text)
	f.Add("cmsl_aaaaaaaaaaaaaaaa_aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa")
	f.Fuzz(func(t *testing.T, text string) {
		id, _, err := auth.ParseText(text)
		if err == nil && (len(id) != 16 || text[5:21] != id) {
			t.Errorf("%q: id %q", text, id)
		}
	})
}
