package cataloguetest

import (
	"testing"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

// BuiltIn is the catalogue that the binary carries.
func BuiltIn(t testing.TB) species.Catalogue {
	t.Helper()
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		t.Fatal(err)
	}
	return c
}
