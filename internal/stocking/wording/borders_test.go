package wording_test

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"
)

func TestASentenceNamesFourKinds(t *testing.T) {
	var kinds []*species.Species
	for _, name := range []string{"Aa", "Bb", "Cc", "Dd", "Ee", "Ff"} {
		kinds = append(kinds, testfish.PlainFish(name))
	}
	for n, want := range map[int]string{
		4: "Aas, bbs, ccs and dds may not be kept or sold where you are.",
		6: "Aas, bbs, ccs, dds and 2 other kinds may not be kept or sold where you are.",
	} {
		f := stocking.Finding{Kinds: kinds[:n], Statement: conflict.Statement{Code: stocking.LawForbids, Actor: kinds[0]}}
		if got := wording.English(false).Finding(&f); got != want {
			t.Errorf("got  %q\nwant %q", got, want)
		}
	}
}
