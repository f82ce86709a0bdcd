package cataloguetest

import (
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
)

// BuiltIn is the catalogue that the binary carries.
func BuiltIn(t testing.TB) species.Catalogue {
	t.Helper()
	c, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	return c
}
