package catalogue_test

import (
	"bytes"
	"testing"
	"testing/fstest"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

// mapFS makes a folder of pairs of name and content.
func mapFS(pairs ...string) fstest.MapFS {
	files := make(fstest.MapFS)
	for i := 0; i+1 < len(pairs); i += 2 {
		files[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
	}
	return files
}

func builtIn(t testing.TB) species.Catalogue {
	t.Helper()
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// format gives the text of entries.
func format(t interface{ Fatal(...any) }, list []*species.Species) string {
	var b bytes.Buffer
	if err := catalogue.Format(&b, list); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
