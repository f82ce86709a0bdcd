package store_test

import (
	"context"
	"errors"
	"math"
	"reflect"
	"sync"
	"testing"

	"commensal/internal/species"
	"commensal/internal/store"
	"commensal/internal/store/cataloguerows"
	"commensal/internal/store/dbtest"

	"pgregory.net/rapid"
)

func load(tb testing.TB, s *store.Store, c species.Catalogue, note string) (revision int64, changed bool) {
	tb.Helper()
	revision, changed, err := s.LoadCatalogue(testContext(tb), c, note)
	if err != nil {
		tb.Fatal(err)
	}
	return revision, changed
}

func TestACatalogueComesBackExactlyAsItWasLoaded(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	rapid.Check(t, func(t *rapid.T) {
		want := catalogues().Draw(t, "catalogue")
		revision, _, err := s.LoadCatalogue(context.Background(), want, "")
		if err != nil {
			t.Fatal(err)
		}
		got, err := s.Catalogue(context.Background(), revision)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("got  %+v\nwant %+v", got, want)
		}
		again, changed, err := s.LoadCatalogue(context.Background(), got, "again")
		if err != nil || changed || again != revision {
			t.Fatalf("loading it again: revision %d, changed %v, error %v; want revision %d, unchanged", again, changed, err, revision)
		}
	})
}

func TestOldRevisionsStayAsTheyWere(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	first, second := sample(), sample()
	second.Species = second.Species[:2]
	second.Words = nil
	one, _ := load(t, s, first, "one")
	two, changed := load(t, s, second, "two")
	if !changed || two <= one {
		t.Fatalf("the second load gave revision %d, changed %v, after %d", two, changed, one)
	}
	for revision, want := range map[int64]species.Catalogue{one: first, two: second} {
		got, err := s.Catalogue(testContext(t), revision)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("revision %d: got %+v, %v", revision, got, err)
		}
	}
	if current, err := s.CurrentRevision(testContext(t)); err != nil || current != two {
		t.Errorf("the current revision is %d, %v; want %d", current, err, two)
	}
}

func TestGoingBackToOlderContentIsANewRevision(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	one, _ := load(t, s, sample(), "one")
	two, _ := load(t, s, species.Catalogue{}, "emptied")
	three, changed := load(t, s, sample(), "back")
	if !changed || one >= two || two >= three {
		t.Fatalf("got revisions %d, %d, %d, changed %v", one, two, three, changed)
	}
	list, err := s.Revisions(testContext(t), 10)
	if err != nil {
		t.Fatal(err)
	}
	type line struct {
		number int64
		note   string
		count  int
	}
	var got []line
	for _, r := range list {
		got = append(got, line{r.Number, r.Note, r.SpeciesCount})
		if r.CreatedAt.IsZero() {
			t.Errorf("revision %d has no time", r.Number)
		}
	}
	want := []line{{three, "back", 3}, {two, "emptied", 0}, {one, "one", 3}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if list[0].ContentHash != list[2].ContentHash || list[0].ContentHash == list[1].ContentHash {
		t.Error("equal content should have an equal hash, other content another")
	}
	if short, err := s.Revisions(testContext(t), 1); err != nil || len(short) != 1 || short[0].Number != three {
		t.Errorf("limited to one: %v, %v", short, err)
	}
}

func TestAnAmendmentKnowsWhatItWasMadeFrom(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx := testContext(t)
	first, changed, err := s.AmendCatalogue(ctx, 0, sample(), "the first")
	if err != nil || !changed {
		t.Fatalf("changed %v, error %v", changed, err)
	}
	c := sample()
	c.Species[0].Note = "amended"
	second, changed, err := s.AmendCatalogue(ctx, first, c, "the second")
	if err != nil || !changed || second <= first {
		t.Fatalf("revision %d after %d, changed %v, error %v", second, first, changed, err)
	}
	c.Species[0].Note = "late"
	for _, base := range []int64{0, first} {
		if _, _, err := s.AmendCatalogue(ctx, base, c, "too late"); !errors.Is(err, store.ErrRevisionMoved) {
			t.Errorf("on top of %d: error %v, want ErrRevisionMoved", base, err)
		}
	}
	if current, err := s.CurrentRevision(ctx); err != nil || current != second {
		t.Errorf("revision %d, %v; want %d still", current, err, second)
	}
}

func TestWithoutACatalogueThereIsNoRevision(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	if _, err := s.CurrentRevision(testContext(t)); !errors.Is(err, store.ErrNoCatalogue) {
		t.Errorf("current revision: %v, want ErrNoCatalogue", err)
	}
	if _, err := s.Catalogue(testContext(t), 1); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("catalogue: %v, want ErrNotFound", err)
	}
	if list, err := s.Revisions(testContext(t), 10); err != nil || len(list) != 0 {
		t.Errorf("revisions: %v, %v; want none", list, err)
	}
}

func TestReplicasThatLoadTogetherWriteOneRevision(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	const replicas = 4
	var (
		wg        sync.WaitGroup
		revisions [replicas]int64
		changes   [replicas]bool
		errs      [replicas]error
	)
	for i := range replicas {
		s := openOn(t, dsn, store.Options{})
		wg.Go(func() { revisions[i], changes[i], errs[i] = s.LoadCatalogue(context.Background(), sample(), "") })
	}
	wg.Wait()
	writers := 0
	for i := range replicas {
		if errs[i] != nil || revisions[i] != revisions[0] {
			t.Errorf("replica %d: revision %d, error %v", i, revisions[i], errs[i])
		}
		if changes[i] {
			writers++
		}
	}
	if writers != 1 {
		t.Errorf("%d replicas wrote, want 1", writers)
	}
}

func TestTheDatabaseRefusesWhatBreaksARule(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	good, _ := load(t, s, sample(), "good")
	nan := math.NaN()
	for name, test := range map[string]struct {
		change     func(*species.Catalogue)
		state      string
		constraint string
	}{
		"a band out of order": {func(c *species.Catalogue) { c.Species[0].Traits[species.Length].Low = 9 }, "23514", "species_traits_in_order"},
		"a band that is not a number": {func(c *species.Catalogue) {
			c.Species[0].Traits[species.Length].Band = species.Band{Low: nan, Typical: nan, High: nan}
		}, "23514", "species_traits_in_order"},
		"an endless band":                  {func(c *species.Catalogue) { c.Species[0].Traits[species.Length].High = math.Inf(1) }, "23514", "species_traits_in_order"},
		"a grade above one":                {func(c *species.Catalogue) { c.Species[0].Traits[species.Armour].High = 1.1 }, "23514", "species_traits_grade_in_range"},
		"a basis that names nothing":       {func(c *species.Catalogue) { c.Species[0].Traits[species.Length].Basis = "hearsay" }, "23514", "species_traits_basis_stated"},
		"water preferred but not borne":    {func(c *species.Catalogue) { c.Species[0].Water[species.PH].Preferred.High = 9 }, "23514", "species_water_in_order"},
		"zones that do not sum to one":     {func(c *species.Catalogue) { c.Species[0].Zones.Share[0] = 0.5 }, "23514", "species_zones_sum_to_one"},
		"a negative share":                 {func(c *species.Catalogue) { c.Species[0].Zones.Share = [3]float64{-0.5, 1, 0.5} }, "23514", "species_zones_not_negative"},
		"a doubled id":                     {func(c *species.Catalogue) { c.Species[2].ID = "betta-splendens" }, "23505", "catalogue_entries_pkey"},
		"an id that is not hyphenated":     {func(c *species.Catalogue) { c.Species[2].ID = "Betta imbellis"; c.Words = nil }, "23514", "species_id_is_hyphenated"},
		"a form of an unknown entry":       {func(c *species.Catalogue) { c.Species[1].FormOf = "carassius-auratus" }, "23503", "species_parent_exists"},
		"a form of itself":                 {func(c *species.Catalogue) { c.Species[1].FormOf = c.Species[1].ID }, "23514", "species_not_its_own_parent"},
		"a guild nobody knows":             {func(c *species.Catalogue) { c.Species[0].Guild = "vegan" }, "23514", "species_guild_known"},
		"a way of feeding nobody knows":    {func(c *species.Catalogue) { c.Species[0].FeedsBy = "nibble" }, "23514", "species_feeds_by_known"},
		"hours nobody knows":               {func(c *species.Catalogue) { c.Species[0].Active = "noon" }, "23514", "species_active_hours_known"},
		"an availability nobody knows":     {func(c *species.Catalogue) { c.Species[0].Available = "sold out" }, "23514", "species_availability_known"},
		"a candidate that does not exist":  {func(c *species.Catalogue) { c.Words[0].Candidates[0] = "nobody" }, "23503", "group_word_candidates_species_exists"},
		"a doubled word":                   {func(c *species.Catalogue) { c.Words = append(c.Words, c.Words[0]) }, "23505", "group_words_pkey"},
		"an empty name":                    {func(c *species.Catalogue) { c.Species[0].Names[0].Text = "" }, "23514", "species_names_not_empty"},
		"a zero byte in a text":            {func(c *species.Catalogue) { c.Species[0].Note = "a\x00b" }, "22021", ""},
		"a text that is not UTF-8 encoded": {func(c *species.Catalogue) { c.Species[0].Note = "a\xffb" }, "22021", ""},
	} {
		t.Run(name, func(t *testing.T) {
			c := sample()
			test.change(&c)
			_, _, err := s.LoadCatalogue(testContext(t), c, "bad")
			var refused *store.ConstraintError
			if !errors.As(err, &refused) {
				t.Fatalf("got %v, want a ConstraintError", err)
			}
			if refused.SQLState != test.state || refused.Constraint != test.constraint {
				t.Errorf("got %s %q, want %s %q", refused.SQLState, refused.Constraint, test.state, test.constraint)
			}
			if current, err := s.CurrentRevision(testContext(t)); err != nil || current != good {
				t.Errorf("afterwards the current revision is %d, %v; want %d", current, err, good)
			}
		})
	}
}

func TestWhatTheTablesCouldNotGiveBackIsRefused(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	for name, change := range map[string]func(*species.Catalogue){
		"a nil entry":             func(c *species.Catalogue) { c.Species[1] = nil },
		"a trait without a basis": func(c *species.Catalogue) { c.Species[0].Traits[species.Length].Basis = "" },
		"a male trait without one": func(c *species.Catalogue) {
			c.Species[0].MaleTraits[species.Length] = species.Value{Band: species.Band{High: 1}}
		},
		"water without a basis":   func(c *species.Catalogue) { c.Species[0].Water[species.PH].Basis = "" },
		"zones without a basis":   func(c *species.Catalogue) { c.Species[0].Zones.Basis = "" },
		"a sex that is not there": func(c *species.Catalogue) { c.Species[0].SoldAs = 7 },
	} {
		t.Run(name, func(t *testing.T) {
			c := sample()
			change(&c)
			_, _, err := s.LoadCatalogue(testContext(t), c, "")
			var content *cataloguerows.ContentError
			if !errors.As(err, &content) {
				t.Errorf("got %v, want a ContentError", err)
			}
		})
	}
}

func TestEmptyListsComeBackNilAndCountAsEqual(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	c := sample()
	c.Species[0].Colours, c.Species[0].Synonyms = []string{}, []string{}
	revision, _ := load(t, s, c, "")
	got, err := s.Catalogue(testContext(t), revision)
	if err != nil || !reflect.DeepEqual(got, sample()) {
		t.Errorf("got %+v, %v", got.Species[0], err)
	}
	if _, changed := load(t, s, sample(), ""); changed {
		t.Error("a nil list was taken for a change")
	}
}

func TestAKeyOfANewerProgramIsAnErrorNotAGap(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	revision, _ := load(t, s, sample(), "")
	execute(t, dsn, `UPDATE species_traits SET trait = 'singing' WHERE trait = 'length'`)
	if c, err := s.Catalogue(testContext(t), revision); err == nil {
		t.Errorf("got %+v, want an error", c)
	}
}
