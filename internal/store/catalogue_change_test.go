package store_test

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"sync"
	"testing"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/store"
	"commensal/internal/store/dbtest"
	"commensal/internal/store/migration"

	"github.com/google/uuid"
)

// noted is the sample with a note on one entry.
func noted(entry int, note string) species.Catalogue {
	c := sample()
	c.Species[entry].Note = note
	return c
}

func TestARevisionWritesOnlyTheEntriesThatChange(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	versions := map[int64]species.Catalogue{}
	for _, c := range []species.Catalogue{sample(), noted(0, "a"), noted(2, "b"), sample()} {
		revision, changed := load(t, s, c, "")
		if !changed {
			t.Fatalf("revision %d changed nothing", revision)
		}
		versions[revision] = c
	}
	for revision, want := range versions {
		if got, err := s.Catalogue(testContext(t), revision); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("revision %d: %+v, %v", revision, got, err)
		}
	}
	got := texts(t, dsn, `SELECT id || ' ' || count(*) FROM species GROUP BY id ORDER BY id`)
	// The second entry never changed; the first changed and went back; so did the third.
	if want := []string{"betta-imbellis 3", "betta-splendens 3", "betta-splendens-veil 1"}; !slices.Equal(got, want) {
		t.Errorf("rows %v, want %v", got, want)
	}
}

func TestTheOrderOfEntriesBelongsToTheRevision(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	load(t, s, sample(), "")
	turned := sample()
	slices.Reverse(turned.Species)
	revision, changed := load(t, s, turned, "")
	if got, err := s.Catalogue(testContext(t), revision); !changed || err != nil || !reflect.DeepEqual(got, turned) {
		t.Errorf("changed %v: %+v, %v", changed, got, err)
	}
	if got := texts(t, dsn, `SELECT count(*)::text FROM species`); got[0] != "3" {
		t.Errorf("%s rows for three entries", got[0])
	}
}

// curators is the organization of those who change the catalogue.
func curators(t *testing.T, s *store.Store) uuid.UUID {
	t.Helper()
	return organization(t, s, "curators of "+uuid.NewString())
}

// amend changes the catalogue as a curator does.
func amend(t *testing.T, s *store.Store, c store.Change) (r store.Revision, changed bool, err error) {
	t.Helper()
	org := curators(t, s)
	err = s.Write(testContext(t), org, func(tx *store.Tx) (err error) {
		if r, changed, err = tx.ChangeCatalogue(testContext(t), c); err == nil {
			err = tx.HasOrganization(testContext(t)) // the transaction acts for it again
		}
		return err
	})
	return r, changed, err
}

func TestACuratorsChangeSaysWhoseItIs(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	first, _ := load(t, s, sample(), "loaded")
	next := noted(1, "long fins")
	r, changed, err := amend(t, s, store.Change{Catalogue: next, Note: "why", KeyID: "abc", OnTopOf: first, Like: store.Content{Revision: first, Catalogue: sample()}})
	if err != nil || !changed || r.Number <= first || r.KeyID != "abc" || r.Note != "why" || r.SpeciesCount != 3 {
		t.Fatalf("%+v, %v, %v", r, changed, err)
	}
	if got, err := s.Catalogue(testContext(t), r.Number); err != nil || !reflect.DeepEqual(got, next) {
		t.Errorf("%+v, %v", got, err)
	}
	if found, err := s.FindRevision(testContext(t), r.Number); err != nil || found != r {
		t.Errorf("found %+v, %v; want %+v", found, err, r)
	}
	if latest, err := s.LatestRevision(testContext(t)); err != nil || latest != r {
		t.Errorf("latest %+v, %v; want %+v", latest, err, r)
	}
	if again, changed, err := amend(t, s, store.Change{Catalogue: next, OnTopOf: r.Number}); err != nil || changed || again != r {
		t.Errorf("the same again: %+v, %v, %v", again, changed, err)
	}
	if _, _, err := amend(t, s, store.Change{Catalogue: sample(), OnTopOf: first}); !errors.Is(err, store.ErrRevisionMoved) {
		t.Errorf("on top of an old revision: %v", err)
	}
}

func TestAFailedChangeLeavesNothing(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	first, _ := load(t, s, sample(), "")
	bad := noted(0, "new")
	bad.Words = append(bad.Words, bad.Words[0]) // refused after the entries are written
	var refused *store.ConstraintError
	if _, _, err := amend(t, s, store.Change{Catalogue: bad, OnTopOf: first}); !errors.As(err, &refused) {
		t.Fatalf("error %v", err)
	}
	for _, table := range []string{"catalogue_revisions", "catalogue_entries", "species", "group_words"} {
		if left := texts(t, dsn, fmt.Sprintf(`SELECT count(*)::text FROM %s WHERE revision > %d`, table, first)); left[0] != "0" {
			t.Errorf("%s has %s rows of it", table, left[0])
		}
	}
}

func TestOfManyCuratorsOnOneRevisionOneWins(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	base, _ := load(t, s, sample(), "")
	org := curators(t, s)
	const curators = 8
	var wg sync.WaitGroup
	var errs [curators]error
	for i := range curators {
		wg.Go(func() {
			errs[i] = s.Write(t.Context(), org, func(tx *store.Tx) error {
				_, _, err := tx.ChangeCatalogue(t.Context(), store.Change{Catalogue: noted(0, fmt.Sprint(i)), OnTopOf: base})
				return err
			})
		})
	}
	wg.Wait()
	won := 0
	for i, err := range errs {
		switch {
		case err == nil:
			won++
		case !errors.Is(err, store.ErrRevisionMoved) && !errors.Is(err, store.ErrBusy):
			t.Errorf("curator %d: %v", i, err)
		}
	}
	if list, err := s.Revisions(testContext(t), 10); err != nil || won != 1 || len(list) != 2 {
		t.Errorf("%d won, %d revisions, %v", won, len(list), err)
	}
}

func TestTheHistoryOfAnEntry(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	without := sample()
	without.Species, without.Words = without.Species[:2], nil
	var revisions []int64
	for _, c := range []species.Catalogue{without, sample(), noted(0, "another entry"), noted(2, "this one"), without, sample()} {
		revision, _ := load(t, s, c, "")
		revisions = append(revisions, revision)
	}
	plain, changed := sample().Species[2], noted(2, "this one").Species[2]
	want := []store.EntryChange{
		{Revision: store.Revision{Number: revisions[5]}, After: plain},
		{Revision: store.Revision{Number: revisions[4]}, Before: changed},
		{Revision: store.Revision{Number: revisions[3]}, Before: plain, After: changed},
		{Revision: store.Revision{Number: revisions[1]}, After: plain},
	}
	history := func(before int64, limit int) []store.EntryChange {
		t.Helper()
		got, err := s.EntryChanges(testContext(t), plain.ID, before, limit)
		if err != nil {
			t.Fatal(err)
		}
		for i := range got {
			got[i].Revision = store.Revision{Number: got[i].Number}
		}
		return got
	}
	if got := history(0, 10); !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if got := history(revisions[5], 2); !reflect.DeepEqual(got, want[1:3]) {
		t.Errorf("a page of it: %+v", got)
	}
	if got, err := s.EntryChanges(testContext(t), "nobody", 0, 10); err != nil || len(got) != 0 {
		t.Errorf("of nobody: %+v, %v", got, err)
	}
}

// Going down to the tables of before gives every revision rows of its own, and going up
// again makes the lists of them.
func TestRevisionsSurviveTheMigrationBothWays(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	s := openOn(t, dsn, store.Options{})
	versions := map[int64]species.Catalogue{}
	for _, c := range []species.Catalogue{sample(), noted(0, "a"), noted(1, "b")} {
		revision, _ := load(t, s, c, "")
		versions[revision] = c
	}
	m := migration.New(dsn, db.MigrationsFS())
	if err := m.Down(testContext(t), int(status(t, m).Latest)-11); err != nil {
		t.Fatal(err)
	}
	if rows := texts(t, dsn, `SELECT count(*)::text FROM species`); rows[0] != "9" {
		t.Errorf("%s rows for three revisions of three entries", rows[0])
	}
	if err := m.Up(testContext(t)); err != nil {
		t.Fatal(err)
	}
	again := openOn(t, dsn, store.Options{})
	for revision, want := range versions {
		if got, err := again.Catalogue(testContext(t), revision); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("revision %d: %+v, %v", revision, got, err)
		}
	}
}
