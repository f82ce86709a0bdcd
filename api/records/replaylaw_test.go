package records

import (
	"encoding/json"
	"errors"
	"maps"
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
)

// Every list of the scenarios, put on record and read back, is judged to the letter as it was, and what
// two answers do not have in common is the same from either side.
func TestEveryScenarioReplaysToTheLetter(t *testing.T) {
	book := fixture.Fitted(t)
	var before *gen.Check
	for _, s := range fixture.Scenarios(t) {
		text, err := json.Marshal(s.List)
		if err != nil {
			t.Fatal(err)
		}
		var in gen.CheckRequest
		if err := json.Unmarshal(text, &in); err != nil {
			t.Fatal(err)
		}
		stock, err := lists.ReadCheck(book.Snapshot, &in)
		if err != nil {
			t.Fatal(err)
		}
		c, err := (&Records{desk: work.New(0)}).recordOf(t.Context(), &lists.Question{Book: book, Stock: stock, Asked: &in, US: true})
		if err != nil {
			t.Fatal(err)
		}
		p := &replay{book: book, past: book, record: &c}
		if err := errors.Join(wire.DecodeStored(c.Input, &p.input), wire.DecodeStored(c.Answer, &p.then)); err != nil {
			t.Fatal(err)
		}
		out, err := p.answer()
		if err != nil || out.Outcome != gen.CheckReplayOutcomeSame || len(out.Pairings)+len(out.Findings) > 0 {
			t.Errorf("%s: %+v, %v", s.Name, out, err)
		}
		again, err := judgeOn(book, &p.input, nil)
		if text, _ := respond.EncodeJSON(again); err != nil || string(text) != string(c.Answer) {
			t.Errorf("%s: the answer is another one (%v)", s.Name, err)
		}
		if before != nil && !maps.Equal(differencesOf(before, &p.then).keys(), differencesOf(&p.then, before).keys()) {
			t.Errorf("%s: differences depend on the side", s.Name)
		}
		before = &p.then
	}
}
