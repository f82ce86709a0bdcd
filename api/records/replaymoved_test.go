package records_test

import (
	"slices"
	"strings"
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/internal/species"
	"commensal/internal/store"
)

func TestAReplayOfSpeciesThatAreGoneSaysSo(t *testing.T) {
	l := newLibrary(t)
	id := l.Record(twoSpecies).Id
	l.load(func(c *species.Catalogue) {
		c.Species = slices.DeleteFunc(c.Species, func(s *species.Species) bool {
			return s.ID == "astronotus-ocellatus" || s.FormOf == "astronotus-ocellatus"
		})
		for i := range c.Words {
			c.Words[i].Candidates = slices.DeleteFunc(c.Words[i].Candidates, func(id species.ID) bool { return id == "astronotus-ocellatus" })
		}
		c.Words = slices.DeleteFunc(c.Words, func(w species.GroupWord) bool { return len(w.Candidates) == 0 })
	})
	r := l.replay(id)
	if r.Outcome != gen.CheckReplayOutcomeNotPossible || r.Now != nil || len(r.Moved) != 1 || r.Moved[0].Species != "astronotus-ocellatus" || r.Moved[0].Now != nil ||
		r.Summary != "It cannot be judged again: the catalogue no longer has Astronotus ocellatus (astronotus-ocellatus)." {
		t.Errorf("%+v", r)
	}
}

func TestAReplayFollowsASpeciesToItsNewName(t *testing.T) {
	l := newLibrary(t)
	id := l.Record(twoSpecies).Id
	l.load(func(c *species.Catalogue) {
		oscar := entryOf(c, "astronotus-ocellatus")
		oscar.ID, oscar.ScientificName, oscar.Synonyms = "zastronotus-ocellatus", "Zastronotus ocellatus", append(oscar.Synonyms, "Astronotus ocellatus")
		for i := range c.Words {
			for k := range c.Words[i].Candidates {
				if c.Words[i].Candidates[k] == "astronotus-ocellatus" {
					c.Words[i].Candidates[k] = oscar.ID
				}
			}
		}
	})
	r := l.replay(id)
	if len(r.Moved) != 1 || r.Moved[0].Now == nil || *r.Moved[0].Now != "zastronotus-ocellatus" {
		t.Fatalf("%+v", r.Moved)
	}
	if len(r.Pairings) != 0 || r.DecisionChanged || len(r.ChangedValues) != 0 {
		t.Errorf("a new name changes the answer: %+v", r)
	}
}

func TestAReplayWithoutTheCatalogueOfThenSaysThatTheCauseIsNotKnown(t *testing.T) {
	l := newLibrary(t)
	l.book.Store(fixture.Few(t)) // revision 7, which the database does not have
	id := l.Record(twoSpecies).Id
	l.load(calmOscar)
	r := l.replay(id)
	if r.Outcome != gen.CheckReplayOutcomeChanged || len(r.ChangedValues) != 0 {
		t.Errorf("%+v", r)
	}
	for _, causes := range append(causesOf(&r), r.DecisionCauses) {
		if len(causes) != 1 || causes[0].Kind != gen.ReplayCauseNotKnown || !strings.Contains(causes[0].Summary, "revision 7 is not in the database") {
			t.Errorf("causes: %+v", causes)
		}
	}
}

// A record that another catalogue of the same number was behind is not explained by that one.
func TestAReplayDoesNotTakeAnotherCatalogueForThatOfThen(t *testing.T) {
	l := newLibrary(t)
	made := l.Record(twoSpecies)
	l.load(func(c *species.Catalogue) {
		c.Species = slices.DeleteFunc(c.Species, func(s *species.Species) bool { return s.ID == "danio-rerio" })
	})
	lost := l.book.Load().Snapshot.Revision()
	l.load(func(*species.Catalogue) {})
	text := strings.ReplaceAll(string(made.Answer), `"astronotus-ocellatus"`, `"danio-rerio"`)
	text = strings.ReplaceAll(text, "Astronotus ocellatus", "Danio rerio")
	var odd store.CheckRecord
	err := l.Store.Write(t.Context(), l.Organizations["here"], func(tx *store.Tx) (err error) {
		odd, err = tx.RecordCheck(t.Context(), store.CheckRecord{Key: made.Key, Decision: "hold", Summary: made.Summary, Revision: lost, Model: made.ModelVersion,
			Input: []byte(strings.ReplaceAll(string(made.Input), "astronotus-ocellatus", "danio-rerio")), Answer: []byte(text)})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	r := l.replay(odd.ID.String())
	if r.Outcome != gen.CheckReplayOutcomeChanged || len(r.DecisionCauses) != 1 || r.DecisionCauses[0].Kind != gen.ReplayCauseNotKnown {
		t.Errorf("%+v", r)
	}
}
