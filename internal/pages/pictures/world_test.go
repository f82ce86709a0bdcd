package pictures

import (
	"sync"
	"testing"

	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
	"commensal/internal/pages/words"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

var desk = sync.OnceValues(func() (*answers.Desk, error) {
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		return nil, err
	}
	snapshot, err := species.NewSnapshot(1, c)
	if err != nil {
		return nil, err
	}
	model, err := conflict.Default()
	if err != nil {
		return nil, err
	}
	return answers.NewDesk(conflict.NewBook(model, snapshot)), nil
})

// theDesk answers from the catalogue in the binary.
func theDesk(t testing.TB) *answers.Desk {
	t.Helper()
	d, err := desk()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// pair judges two kinds by their names.
func pair(t testing.TB, first, second string) *answers.Pairing {
	t.Helper()
	d := theDesk(t)
	a, b := d.Resolve(first), d.Resolve(second)
	p, ok := d.Pair(links.Pair{First: a.Kind.ID, Second: b.Kind.ID})
	if !ok {
		t.Fatalf("%s and %s are not in the catalogue", first, second)
	}
	return &p
}

var english = words.English()

// marks are the marks of a scene with a name.
func marks(s *Scene, name string) (out []Mark) {
	for _, m := range s.Marks {
		if m.Name == name {
			out = append(out, m)
		}
	}
	return out
}
