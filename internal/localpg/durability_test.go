//go:build unix

package localpg

import (
	"reflect"
	"testing"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/store"
	"commensal/internal/store/migration"
)

// The store promises that a load it has acknowledged survives a kill; this is
// where a server can be killed.
func TestAnAcknowledgedCatalogueSurvivesAKilledServer(t *testing.T) {
	dir := readyDir(t)
	s := start(t, Options{DataDir: dir})
	if err := migration.New(s.DSN(), db.MigrationsFS()).Up(testContext(t)); err != nil {
		t.Fatal(err)
	}
	want := species.Catalogue{Species: []*species.Species{{ID: "latimeria-chalumnae", ScientificName: "Latimeria chalumnae", Basis: species.Memory}}}
	before := openStore(t, s.DSN())
	revision, _, err := before.LoadCatalogue(testContext(t), want, "")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.proc.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	<-s.Done()
	stop(t, s)

	again := start(t, Options{DataDir: dir})
	got, err := openStore(t, again.DSN()).Catalogue(testContext(t), revision)
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("after kill -9 revision %d reads %+v, %v", revision, got, err)
	}
	// The pool from before the kill finds its way back by itself.
	if _, changed, err := before.LoadCatalogue(testContext(t), want, ""); err != nil || changed {
		t.Errorf("loading it again: changed %v, %v", changed, err)
	}
}

func openStore(t *testing.T, dsn string) *store.Store {
	t.Helper()
	st, err := store.Open(testContext(t), dsn, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(st.Close)
	return st
}
