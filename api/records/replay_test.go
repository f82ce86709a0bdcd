package records_test

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/store"
)

// library is a desk whose catalogue is in the database and changes.
type library struct {
	*apitest.Till
	book *atomic.Pointer[conflict.Book]
}

func newLibrary(t *testing.T) *library {
	t.Helper()
	l := &library{book: &atomic.Pointer[conflict.Book]{}}
	l.book.Store(fixture.Few(t))
	l.Till = apitest.NewTill(t, func(c *api.Config) { c.Book = l.book.Load })
	l.load(func(*species.Catalogue) {})
	return l
}

// load makes a changed copy of the few species the current catalogue.
func (l *library) load(change func(*species.Catalogue)) {
	l.T.Helper()
	c, err := catalogue.Parse(fixture.FewFiles())
	if err != nil {
		l.T.Fatal(err)
	}
	change(&c)
	revision, _, err := l.Store.LoadCatalogue(l.T.Context(), c, "test")
	if err != nil {
		l.T.Fatal(err)
	}
	book, err := fixture.BookOf(c, revision)
	if err != nil {
		l.T.Fatal(err)
	}
	l.book.Store(book)
}

func (l *library) replay(id string) gen.CheckReplay {
	l.T.Helper()
	return apitest.Body[gen.CheckReplay](l.T, l.Get("/v1/checks/"+id+"/replay", l.Office...), http.StatusOK)
}

// entryOf is an entry of a catalogue.
func entryOf(c *species.Catalogue, id species.ID) *species.Species {
	return c.Species[slices.IndexFunc(c.Species, func(s *species.Species) bool { return s.ID == id })]
}

// calmOscar is a catalogue in which the oscar is small and mild.
func calmOscar(c *species.Catalogue) {
	oscar := entryOf(c, "astronotus-ocellatus")
	for trait, band := range map[species.Trait]species.Band{
		species.Length: {Low: 3, Typical: 3.5, High: 4}, species.Piscivory: {Low: 0, Typical: 0.02, High: 0.05},
		species.AggressionOthers: {Low: 0, Typical: 0.02, High: 0.05}, species.TankLength: {Low: 50, Typical: 60, High: 70}, species.TankWidth: {Low: 25, Typical: 30, High: 35},
	} {
		oscar.Traits[trait].Band = band
	}
	oscar.Note = "A note that no answer rests on."
}

const twoSpecies = `{"tank":{"size":"100x40x40cm"},"residents":[{"species":"neon tetra","count":12},{"species":"guppy","count":6}],"incoming":[{"species":"oscar"}]}`

func TestAReplayOnTheSameCatalogueIsTheSame(t *testing.T) {
	l := newLibrary(t)
	for _, list := range []string{twoSpecies, fixture.OscarJoins, `{"residents":[{"species":"neon tetra","count":12},{"species":"neon tetra","sex":"male"}]}`} {
		r := l.replay(l.Record(list).Id)
		if r.Outcome != gen.CheckReplayOutcomeSame || r.DecisionChanged || r.Now == nil || r.Then != *r.Now || len(r.Pairings)+len(r.Findings)+len(r.ChangedValues)+len(r.Moved) > 0 {
			t.Errorf("%+v", r)
		}
	}
}

func TestAReplayShowsWhatTheCatalogueChanged(t *testing.T) {
	l := newLibrary(t)
	made := l.Record(twoSpecies)
	alone := l.Record(`{"residents":[{"species":"neon tetra","count":12}]}`)
	l.load(calmOscar)
	r := l.replay(made.Id)
	if r.Outcome != gen.CheckReplayOutcomeChanged || r.Then.Decision != gen.Hold || r.Now.Decision == gen.Hold || !r.DecisionChanged ||
		r.Now.CatalogueRevision <= r.Then.CatalogueRevision || !strings.HasPrefix(r.Summary, "Then hold, today "+string(r.Now.Decision)) {
		t.Fatalf("%+v", r)
	}
	fields := map[string]bool{}
	for _, v := range r.ChangedValues {
		if v.Species != "astronotus-ocellatus" || v.Old == nil || v.New == nil {
			t.Errorf("a changed value: %+v", v)
		}
		fields[v.Field] = true
	}
	if len(fields) != 5 || !fields["trait length"] || !fields["trait aggression_others"] {
		t.Errorf("changed values: %v", fields)
	}
	eaten := slices.IndexFunc(r.Pairings, func(p gen.PairingChange) bool {
		return slices.Equal(p.Species, []string{"astronotus-ocellatus", "paracheirodon-innesi"})
	})
	if eaten < 0 || r.Pairings[eaten].Then.Score <= r.Pairings[eaten].Now.Score {
		t.Fatalf("pairings: %+v", r.Pairings)
	}
	for _, causes := range append([][]gen.ReplayCause{r.DecisionCauses}, causesOf(&r)...) {
		if len(causes) != 1 || causes[0].Kind != gen.ReplayCauseCatalogue || causes[0].Values == nil || len(*causes[0].Values) != 5 {
			t.Errorf("causes: %+v", causes)
		}
	}
	if !slices.ContainsFunc(r.Findings, func(f gen.FindingChange) bool {
		return f.Change == gen.FindingChangeChangeRemoved && f.Now == nil && f.Then != nil
	}) {
		t.Errorf("findings: %+v", r.Findings)
	}
	if r := l.replay(alone.Id); r.Outcome != gen.CheckReplayOutcomeSame || len(r.ChangedValues) != 0 || r.Then.CatalogueRevision == r.Now.CatalogueRevision {
		t.Errorf("a list without the oscar: %+v", r)
	}
	if again := apitest.Body[gen.CheckRecord](t, l.Get("/v1/checks/"+made.Id, l.Office...), http.StatusOK); string(again.Answer) != string(made.Answer) {
		t.Error("the record follows the catalogue")
	}
}

// causesOf are the causes of all pairings and findings.
func causesOf(r *gen.CheckReplay) (out [][]gen.ReplayCause) {
	for _, p := range r.Pairings {
		out = append(out, p.Causes)
	}
	for _, f := range r.Findings {
		out = append(out, f.Causes)
	}
	return out
}

func TestAReplayTellsModelAndProgramFromTheCatalogue(t *testing.T) {
	l := newLibrary(t)
	id := l.Record(twoSpecies).Id
	weights := conflict.StartingWeights()
	weights.Version = "another"
	weights.Predation = 1.8
	model, err := conflict.New(weights)
	if err != nil {
		t.Fatal(err)
	}
	l.book.Store(conflict.NewBook(model, l.book.Load().Snapshot))
	r := l.replay(id)
	if r.Outcome != gen.CheckReplayOutcomeChanged || len(r.Pairings) == 0 {
		t.Fatalf("%+v", r)
	}
	for _, causes := range causesOf(&r) {
		if len(causes) != 1 || causes[0].Kind != gen.ReplayCauseModel || !strings.Contains(causes[0].Summary, "another") {
			t.Errorf("another model: %+v", causes)
		}
	}
	l.load(calmOscar)
	l.book.Store(conflict.NewBook(model, l.book.Load().Snapshot))
	r = l.replay(id)
	both := func(c []gen.ReplayCause) bool {
		return len(c) == 2 && c[0].Kind == gen.ReplayCauseCatalogue && c[1].Kind == gen.ReplayCauseModel
	}
	if !slices.ContainsFunc(causesOf(&r), both) {
		t.Errorf("another model and another catalogue: %+v", r)
	}
}

// A program that judges otherwise under the same model and catalogue is told from both.
func TestAReplayTellsWhatTheProgramChanged(t *testing.T) {
	l := newLibrary(t)
	made := l.Record(twoSpecies)
	var then gen.Check
	if err := json.Unmarshal(made.Answer, &then); err != nil {
		t.Fatal(err)
	}
	then.Pairings[0].Score--
	missing := then.Findings[0]
	then.Findings = then.Findings[1:]
	answer, err := json.Marshal(then)
	if err != nil {
		t.Fatal(err)
	}
	var old store.CheckRecord
	err = l.Store.Write(t.Context(), l.Organizations["here"], func(tx *store.Tx) (err error) {
		old, err = tx.RecordCheck(t.Context(), store.CheckRecord{Key: made.Key, Decision: string(made.Decision), Summary: made.Summary,
			Revision: made.CatalogueRevision, Model: made.ModelVersion, Program: "an older one", Input: made.Input, Answer: answer})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	r := l.replay(old.ID.String())
	if len(r.Pairings) != 1 || len(r.Findings) != 1 || r.Findings[0].Change != gen.FindingChangeChangeAdded || r.Findings[0].Now.Summary != missing.Summary || r.DecisionChanged {
		t.Errorf("%+v", r)
	}
	for _, causes := range causesOf(&r) {
		if len(causes) != 1 || causes[0].Kind != gen.ReplayCauseProgram || causes[0].Summary != "The program was changed, under the same model: an older one then, test now." {
			t.Errorf("causes: %+v", causes)
		}
	}
}
