package main

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/internal/localcli"
)

func TestAnEntryIsShownWithWhatEachValueRestsOn(t *testing.T) {
	t.Parallel()
	status, text, errs := run(t, nil, "species", "zebra danio")
	if status != exitOK || errs != "" {
		t.Fatalf("%d %s", status, errs)
	}
	_, body, _ := run(t, nil, "species", "danio-rerio", "--json")
	var s gen.Species
	if err := json.Unmarshal([]byte(body), &s); err != nil {
		t.Fatal(err)
	}
	agreed := 0
	for _, v := range s.Traits {
		if v.AgreesWith != nil {
			agreed++
		}
	}
	for _, v := range s.Water {
		if v.AgreesWith != nil {
			agreed++
		}
	}
	flat := strings.Join(strings.Fields(text), " ")
	if got := strings.Count(flat, "from memory, agrees with "+s.Sources[0].Key); agreed == 0 || got != agreed {
		t.Errorf("%d values agree with a source, want %d:\n%s", got, agreed, text)
	}
	if got := strings.Count(flat, "from memory"); got != len(s.Traits)+len(s.Water) {
		t.Errorf("%d values with a basis, want %d", got, len(s.Traits)+len(s.Water))
	}
	for _, want := range []string{"Zebra danio (Danio rerio), Danionidae", "Zebrabärbling", s.Sources[0].Key + ": Froese", "built-in catalogue"} {
		if !strings.Contains(flat, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	for line := range strings.Lines(text) {
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > localcli.Columns {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}

func TestANameThatIsNoEntryIsToldOf(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"turtel": `"turtel" (turtle) must live in a tank without fish`, "neon tetr": "paracheirodon-innesi", "pleco": "may mean several", " ": "empty",
	} {
		status, out, errs := run(t, nil, "species", name)
		if status != exitUsage || out != "" || !strings.Contains(strings.Join(strings.Fields(errs), " "), want) {
			t.Errorf("%q: %d %q %q", name, status, out, errs)
		}
	}
	status, out, _ := run(t, nil, "species", "axolotl", "--json")
	var p gen.Problem
	if err := json.Unmarshal([]byte(out), &p); err != nil || status != exitUsage || p.Status != http.StatusNotFound || p.Type != "/problems/not-a-fish" {
		t.Errorf("%d %s", status, out)
	}
}
