package db_test

import (
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"

	"commensal/db"
)

func TestTheCatalogueTravelsWhole(t *testing.T) {
	for _, pattern := range []string{"*.yaml", "species/*.yaml"} {
		embedded, err := fs.Glob(db.CatalogueFS(), pattern)
		if err != nil {
			t.Fatal(err)
		}
		onDisk, err := fs.Glob(os.DirFS("catalogue"), pattern)
		if err != nil || len(onDisk) == 0 {
			t.Fatalf("on disk %v, %v", onDisk, err)
		}
		if !slices.Equal(embedded, onDisk) {
			t.Errorf("embedded %v, on disk %v", embedded, onDisk)
		}
	}
}

func TestEveryMigrationGoesUpAndDown(t *testing.T) {
	up, err := fs.Glob(db.MigrationsFS(), "*.up.sql")
	if err != nil || len(up) == 0 {
		t.Fatalf("migrations %v, %v", up, err)
	}
	all, err := fs.Glob(db.MigrationsFS(), "*")
	if err != nil || len(all) != 2*len(up) {
		t.Errorf("%d files for %d migrations (%v)", len(all), len(up), err)
	}
	for _, name := range up {
		down := strings.TrimSuffix(name, ".up.sql") + ".down.sql"
		if _, err := fs.Stat(db.MigrationsFS(), down); err != nil {
			t.Errorf("%s has no way back: %v", name, err)
		}
	}
}
