package lists_test

import (
	"encoding/json"
	"slices"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/meanings"
)

func TestScenariosAreDecidedAsAKeeperWould(t *testing.T) {
	book := fixture.Fitted(t)
	w := apitest.Ask(t, apitest.ServerOf(t, book))
	all := fixture.Scenarios(t)
	if len(all) < 60 {
		t.Errorf("only %d scenarios", len(all))
	}
	for _, s := range all {
		t.Run(s.File+"/"+s.Name, func(t *testing.T) {
			body, err := json.Marshal(s.List)
			if err != nil {
				t.Fatal(err)
			}
			c := apitest.CheckOf(t, w, string(body))
			judge(&s, t, &c)
			sameThroughTheCore(&s, t, book, body, &c)
		})
	}
}

// judge holds an answer against what is expected.
func judge(s *fixture.Scenario, t *testing.T, c *gen.Check) {
	if doubted := s.Expect.Model; doubted != "" && (doubted == s.Expect.Decision || s.Expect.Why == "") {
		t.Error("the model's other decision is the keeper's, or has no reason")
	}
	if d := string(c.Decision); d != s.Expect.Decision && (d != s.Expect.Model || d == "") {
		t.Errorf("%s, want %s: %s", d, s.Expect.Decision, c.Summary)
		for _, f := range c.Findings {
			if f.Severity != gen.Note {
				t.Logf("  %s %s: %s", f.Severity, f.Code, f.Summary)
			}
		}
		for _, p := range c.Pairings {
			if p.Level != gen.Low {
				t.Logf("  %.1f %s %s", p.Score, p.Level, p.Summary)
			}
		}
	}
	for _, code := range s.Expect.Findings {
		if !hasCode(c.Findings, code) {
			t.Errorf("%s is not found", code)
		}
	}
	if least, ok := conflict.ParseLevel(s.Expect.WorstAtLeast); ok {
		if worst, _ := conflict.ParseLevel(string(c.Pairings[0].Level)); worst < least {
			t.Errorf("the worst pairing is %s: %s", c.Pairings[0].Level, c.Pairings[0].Summary)
		}
	}
	judgeLeaveOut(s, t, c)
}

// judgeLeaveOut wants every best set to be one of the fish that a keeper names.
func judgeLeaveOut(s *fixture.Scenario, t *testing.T, c *gen.Check) {
	if s.Expect.LeaveOut == nil {
		return
	}
	if len(c.LeaveOut.Sets) == 0 {
		t.Error("nothing is left out")
	}
	for _, set := range c.LeaveOut.Sets {
		for _, l := range set.Lines {
			if !slices.Contains(s.Expect.LeaveOut, l.Species) {
				t.Errorf("%s is left out: %s", l.Species, l.Reason)
			}
		}
	}
}

// sameThroughTheCore judges the list without HTTP.
func sameThroughTheCore(s *fixture.Scenario, t *testing.T, book *conflict.Book, body []byte, c *gen.Check) {
	var in gen.CheckRequest
	if err := json.Unmarshal(body, &in); err != nil {
		t.Fatal(err)
	}
	stock, err := lists.ReadCheck(book.Snapshot, &in)
	if err != nil {
		t.Fatal(err)
	}
	stock, _ = meanings.Settle(book, stock)
	check, err := stocking.Judge(book, stock)
	if err != nil || check.Decision.String() != string(c.Decision) || len(check.Reasons) != len(c.Findings) {
		t.Errorf("the core decides %v (%v), HTTP %s", check.Decision, err, c.Decision)
	}
}
