package main

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/internal/terminal"
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
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > terminal.Customary {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}

func TestANameThatIsNoEntryIsToldOf(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"turtel": `"turtel" (turtle) must live without fish`, "zzyzx": "No species is called", " ": "empty", "": "empty",
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

func TestANameThatIsNotClearIsSearchedFor(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		args       []string
		says       []string
		most, fits int
	}{
		{[]string{"neon", "tetr"}, []string{`No species is called "neon tetr". It may be one of these:`, "paracheirodon-innesi", "There are more"}, 17, 0},
		{[]string{"pleco"}, []string{"may mean several", "ancistrus-cirrhosus", "Bristlenose pleco", "13 cm", "bottom", "mild"}, 17, 0},
		{[]string{"neon tetra", "--search", "--limit", "3"}, []string{"ID", "SCIENTIFIC NAME", "paracheirodon-innesi"}, 6, 0},
		{[]string{"--zone", "surface", "--temperature", "64F", "--limit", "4"}, []string{"surface"}, 7, 0},
		{[]string{"tetra", "--max-length", "1cm"}, []string{"Nothing in the catalogue"}, 1, 0},
		{[]string{"pleco", "--limit", "4"}, []string{"ancistrus-cirrhosus"}, 8, 60},
	} {
		env := environment{}
		if c.fits > 0 {
			env["COLUMNS"] = strconv.Itoa(c.fits)
		}
		status, out, errs := run(t, env, append([]string{"species"}, c.args...)...)
		if status != exitOK || errs != "" || c.fits == 0 && strings.Count(out, "\n") > c.most {
			t.Errorf("%v: %d %s\n%s", c.args, status, errs, out)
		}
		for _, words := range c.says {
			if c.fits == 0 && !strings.Contains(out, words) {
				t.Errorf("%v does not say %q:\n%s", c.args, words, out)
			}
		}
		for line := range strings.Lines(out) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); c.fits > 0 && n > c.fits {
				t.Errorf("%v: %d columns: %s", c.args, n, line)
			}
		}
	}
	status, out, errs := run(t, nil, "species", "--zone", "top")
	if status != exitUsage || out != "" || !strings.Contains(errs, "--zone") || !strings.Contains(errs, "write one of surface, middle, bottom") {
		t.Errorf("%d %q %q", status, out, errs)
	}
	if status, _, errs := run(t, nil, "species"); status != exitUsage || !strings.Contains(errs, "name of a kind") {
		t.Errorf("%d %q", status, errs)
	}
}

func TestACareSheetIsPrintedAsTheAPIHasIt(t *testing.T) {
	t.Parallel()
	status, out, errs := run(t, nil, "care", "bronze", "corydoras", "--tank", "54L", "--region", "DE")
	if status != exitOK || errs != "" || strings.Count(out, "\n") > 25 {
		t.Fatalf("%d %s\n%s", status, errs, out)
	}
	for _, words := range []string{"Bronze corydoras (Osteogaster aenea)", "YOURS ADVISE.", "LAW No rule against it"} {
		if !strings.Contains(out, words) {
			t.Errorf("it does not say %q:\n%s", words, out)
		}
	}
	for line := range strings.Lines(out) {
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 42 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
	_, text, _ := run(t, nil, "care", "osteogaster-aenea", "--tank", "60x30x30cm", "--json")
	var sheet gen.CareSheet
	if err := json.Unmarshal([]byte(text), &sheet); err != nil || *sheet.Decision != gen.Advise || sheet.Species.Id != "osteogaster-aenea" {
		t.Errorf("%v %s", err, text)
	}
	for arg, says := range map[string]string{"--tank=5x": "--tank", "--units=xx": "write one of si, us", "--region=x": "--region"} {
		if status, out, errs := run(t, nil, "care", "oscar", arg); status != exitUsage || out != "" || !strings.Contains(errs, says) {
			t.Errorf("%s: %d %q %q", arg, status, out, errs)
		}
	}
	if status, _, errs := run(t, nil, "care", "tetra"); status != exitUsage || !strings.Contains(errs, "paracheirodon-innesi") {
		t.Errorf("%d %q", status, errs)
	}
}
