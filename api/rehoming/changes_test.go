package rehoming_test

import (
	"context"
	"fmt"
	"net/http"
	"path"
	"strings"
	"sync/atomic"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

// movingCatalogue is a service whose catalogue can be made another one.
type movingCatalogue struct {
	*apitest.TankOwner
	book atomic.Pointer[conflict.Book]
}

func newMovingCatalogue(t *testing.T) *movingCatalogue {
	t.Helper()
	m := &movingCatalogue{}
	m.revise(t, 1, func(*species.Species) {})
	m.TankOwner = apitest.NewTankOwner(t, func(c *api.Config) { c.Book = m.book.Load })
	return m
}

// revise makes a revision of the ten species with something of each changed.
func (m *movingCatalogue) revise(t *testing.T, revision int64, change func(*species.Species)) {
	t.Helper()
	c, err := catalogue.Parse(fixture.FewFiles())
	if err != nil {
		t.Fatal(err)
	}
	for i := range c.Species {
		change(c.Species[i])
	}
	book, err := fixture.BookOf(c, revision)
	if err != nil {
		t.Fatal(err)
	}
	m.book.Store(book)
}

// fiercer makes danios murderous.
func fiercer(sp *species.Species) {
	if sp.ScientificName == "Danio rerio" {
		v := &sp.Traits[species.AggressionOthers]
		v.Low, v.Typical, v.High = 0.97, 0.99, 1
	}
}

func (m *movingCatalogue) screen() (passes int) {
	m.T.Helper()
	for more := true; more; passes++ {
		var err error
		if more, err = m.Server.Screen(m.T.Context()); err != nil {
			m.T.Fatal(err)
		}
	}
	return passes
}

func (m *movingCatalogue) changes(query string) gen.TankChangesPage {
	m.T.Helper()
	return apitest.Body[gen.TankChangesPage](m.T, m.Get("/v1/tanks/changes"+query, m.Key...), http.StatusOK)
}

const danios = `"residents":[{"species":"danio-rerio","count":8},{"species":"paracheirodon-innesi","count":12}]`

func TestATankOfWhichACorrectedTraitDecidesOtherwiseIsListed(t *testing.T) {
	m := newMovingCatalogue(t)
	mixed := m.Tank(`{"label":"Mixed","tank":{"size":"120x50x50cm"},` + danios + `}`)
	m.Tank(`{"label":"Neons","tank":{"size":"120x50x50cm"},"residents":[{"species":"paracheirodon-innesi","count":12}]}`)
	m.Tank(`{"label":"Empty","tank":{}}`)
	if p := m.changes(""); p.Pending != 3 || len(p.Changes) != 0 || p.CatalogueRevision != 1 {
		t.Errorf("%+v", p)
	}
	m.screen()
	if p := m.changes(""); p.Pending != 0 || len(p.Changes) != 0 {
		t.Errorf("%+v", p)
	}
	m.revise(t, 2, fiercer)
	if p := m.changes(""); p.Pending != 3 || len(p.Changes) != 0 {
		t.Errorf("the request itself judged: %+v", p)
	}
	m.Post(mixed+"/readings", `{"ph":7}`, m.Key...) // neither a reading nor time is the catalogue's doing
	m.screen()
	p := m.changes("?since_revision=1")
	if p.Pending != 0 || len(p.Changes) != 1 {
		t.Fatalf("%+v", p)
	}
	c := p.Changes[0]
	if c.Tank != path.Base(mixed) || *c.Label != "Mixed" || c.Before.Decision == c.After.Decision || c.After.Decision != gen.Hold ||
		c.Before.CatalogueRevision != 1 || c.After.CatalogueRevision != 2 || len(c.NewReasons) == 0 || !strings.Contains(strings.ToLower(c.NewReasons[0].Summary), "danio") {
		t.Errorf("%+v", c)
	}
	if p := m.changes("?since_revision=2"); len(p.Changes) != 0 {
		t.Errorf("what was so before the revision is listed: %+v", p)
	}
	stranger := m.Service.Key("there", "tanks:read")
	if p := apitest.Body[gen.TankChangesPage](t, m.Get("/v1/tanks/changes", stranger...), http.StatusOK); len(p.Changes) != 0 || p.Pending != 0 {
		t.Errorf("a stranger is told %+v", p)
	}
	m.revise(t, 3, func(*species.Species) {})
	m.screen()
	if p := m.changes("?since_revision=1"); len(p.Changes) != 0 {
		t.Errorf("decided otherwise and back again, and listed: %+v", p.Changes)
	}
	if p := m.changes("?since_revision=2"); len(p.Changes) != 1 || p.Changes[0].After.Decision == gen.Hold || len(p.Changes[0].GoneReasons) == 0 {
		t.Errorf("%+v", p.Changes)
	}
}

func TestATankThatIsChangedBeginsAnew(t *testing.T) {
	m := newMovingCatalogue(t)
	mixed := m.Tank(`{"tank":{"size":"120x50x50cm"},` + danios + `}`)
	m.screen()
	m.revise(t, 2, fiercer)
	m.screen()
	if p := m.changes(""); len(p.Changes) != 1 {
		t.Fatalf("%+v", p)
	}
	m.Resident(mixed, `{"species":"guppy","count":3}`)
	if p := m.changes(""); len(p.Changes) != 0 || p.Pending != 1 {
		t.Errorf("%+v", p)
	}
	m.screen()
	if p := m.changes(""); len(p.Changes) != 0 || p.Pending != 0 {
		t.Errorf("%+v", p)
	}
	m.Change(http.MethodDelete, mixed, "", "*")
	m.screen()
}

func TestAKindThatTheCatalogueLosesHoldsItsTank(t *testing.T) {
	m := newMovingCatalogue(t)
	m.Tank(`{"tank":{"size":"120x50x50cm"},` + danios + `}`)
	m.screen()
	c, err := catalogue.Parse(fixture.FewFiles())
	if err != nil {
		t.Fatal(err)
	}
	for i, sp := range c.Species {
		if sp.ScientificName == "Danio rerio" {
			c.Species = append(c.Species[:i], c.Species[i+1:]...)
			break
		}
	}
	book, err := fixture.BookOf(c, 2)
	if err != nil {
		t.Fatal(err)
	}
	m.book.Store(book)
	m.screen()
	p := m.changes("")
	if len(p.Changes) != 1 || p.Changes[0].After.Decision != gen.Hold || p.Changes[0].NewReasons[0].Code != "species_unknown" {
		t.Errorf("%+v", p)
	}
}

// One pass does no more than so much, and the next goes on where it ended; while another replica is at it, none does anything.
func TestThePassesAreBoundedAndGoOnWhereTheLastOneEnded(t *testing.T) {
	m := newMovingCatalogue(t)
	const tanks = 450
	for i := range tanks {
		m.Tank(fmt.Sprintf(`{"label":"Tank %d","tank":{},"residents":[{"species":"danio-rerio","count":8}]}`, i))
	}
	other := m.Service.Key("there", "tanks:read", "tanks:write")
	if a := m.Post("/v1/tanks", `{"tank":{}}`, other...); a.Code != http.StatusCreated {
		t.Fatal(a.Body)
	}
	ran, err := m.Store.Alone(t.Context(), "screen tanks", func(ctx context.Context) error {
		if more, err := m.Server.Screen(ctx); more || err != nil {
			t.Errorf("beside another replica: %v %v", more, err)
		}
		return nil
	})
	if err != nil || !ran || m.changes("").Pending != tanks {
		t.Errorf("%v %v, %d pending", ran, err, m.changes("").Pending)
	}
	left := tanks
	for pass := 0; left > 0; pass++ {
		if _, err := m.Server.Screen(t.Context()); err != nil || pass > 5 {
			t.Fatalf("%d left after %d passes: %v", left, pass, err)
		}
		now := m.changes("").Pending
		if done := left - now; done > 200 || done == 0 && now > 0 {
			t.Errorf("pass %d judged %d", pass, done)
		}
		left = now
	}
	m.screen()
	if p := apitest.Body[gen.TankChangesPage](t, m.Get("/v1/tanks/changes", other...), http.StatusOK); p.Pending != 0 {
		t.Errorf("the other organization waits: %+v", p)
	}
	m.revise(t, 2, fiercer)
	m.screen()
	first := m.changes("?limit=2")
	if len(first.Changes) > 2 || first.Pending != 0 {
		t.Errorf("%+v", first)
	}
}

func TestChangesArePagedAndBadQueriesRefused(t *testing.T) {
	m := newMovingCatalogue(t)
	for range 3 {
		m.Tank(`{"tank":{"size":"120x50x50cm"},` + danios + `}`)
	}
	m.screen()
	m.revise(t, 2, fiercer)
	m.screen()
	n, next := 0, "/v1/tanks/changes?since_revision=1&limit=2"
	for next != "" {
		a := m.Get(next, m.Key...)
		n += len(apitest.Body[gen.TankChangesPage](t, a, http.StatusOK).Changes)
		next, _, _ = strings.Cut(strings.TrimPrefix(a.Header().Get("Link"), "<"), ">")
	}
	if n != 3 {
		t.Errorf("%d changes on all pages", n)
	}
	apitest.WantProblem(t, "no revision", m.Get("/v1/tanks/changes?since_revision=x", m.Key...), http.StatusBadRequest, respond.MalformedParameter)
	apitest.WantProblem(t, "before all", m.Get("/v1/tanks/changes?since_revision=-1", m.Key...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
}
