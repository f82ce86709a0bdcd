package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/stocking"

	"go.yaml.in/yaml/v3"
)

// scenario is a list of the demo world with what an experienced keeper says of it.
type scenario struct {
	Name, Story string
	List        map[string]any
	Expect      struct {
		Decision     string
		Findings     []string
		WorstAtLeast string   `yaml:"worst_at_least"`
		LeaveOut     []string `yaml:"leave_out"` // ids: each alone, or together, are a set
		// Model is what the model decides where that is doubted, with the reason in Why; the
		// keeper's decision is accepted as well.
		Model, Why string
	}
	file string
}

func scenarios(t testing.TB) (out []scenario) {
	t.Helper()
	files, err := filepath.Glob("../testdata/scenarios/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d := yaml.NewDecoder(bytes.NewReader(text))
		d.KnownFields(true)
		for {
			s := scenario{file: filepath.Base(file)}
			err := d.Decode(&s)
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", file, err)
			}
			out = append(out, s)
		}
	}
	return out
}

// fitted is the built-in catalogue under the weights that people get.
func fitted(t testing.TB) *conflict.Book {
	t.Helper()
	m, err := conflict.Default()
	if err != nil {
		t.Fatal(err)
	}
	return conflict.NewBook(m, full(t).Snapshot)
}

func TestScenariosAreDecidedAsAKeeperWould(t *testing.T) {
	book := fitted(t)
	w := ask(t, serverOf(t, book))
	all := scenarios(t)
	if len(all) < 60 {
		t.Errorf("only %d scenarios", len(all))
	}
	for _, s := range all {
		t.Run(s.file+"/"+s.Name, func(t *testing.T) {
			body, err := json.Marshal(s.List)
			if err != nil {
				t.Fatal(err)
			}
			c := checkOf(t, w, string(body))
			s.judge(t, &c)
			s.sameThroughTheCore(t, book, body, &c)
		})
	}
}

// judge holds an answer against what is expected.
func (s *scenario) judge(t *testing.T, c *gen.Check) {
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
	s.judgeLeaveOut(t, c)
}

// judgeLeaveOut wants every best set to be one of the fish that a keeper names.
func (s *scenario) judgeLeaveOut(t *testing.T, c *gen.Check) {
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
func (s *scenario) sameThroughTheCore(t *testing.T, book *conflict.Book, body []byte, c *gen.Check) {
	var in gen.CheckRequest
	if err := json.Unmarshal(body, &in); err != nil {
		t.Fatal(err)
	}
	stock, err := readCheck(book.Snapshot, &in)
	if err != nil {
		t.Fatal(err)
	}
	check, err := stocking.Judge(book, stock)
	if err != nil || check.Decision.String() != string(c.Decision) || len(check.Findings) != len(c.Findings) {
		t.Errorf("the core decides %v (%v), HTTP %s", check.Decision, err, c.Decision)
	}
}
