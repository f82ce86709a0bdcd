package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"commensal/api/gen"
)

// matched runs commensal stock match on a list from standard input.
func matched(t *testing.T, list string, env map[string]string, args ...string) (status int, out, errs string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	p := Program{Stdout: &stdout, Stderr: &stderr, Stdin: strings.NewReader(list), Getenv: func(name string) string { return env[name] }}
	status = p.Run(t.Context(), append([]string{"stock", "match", "-"}, args...))
	return status, stdout.String(), stderr.String()
}

const tillList = "Artikelnr.;Bezeichnung;Bestand;Regal\r\nF-1;Neon tetra 2-3 cm;80;1\r\nF-3;Assorted cory;ja;1\r\nF-4;Fancy swordtale;0;2\r\nP-1;Java fern;3;9\r\n"

func TestStockMatchReportsOnAList(t *testing.T) {
	status, out, errs := matched(t, tillList, nil)
	if status != exitOK || errs != "" {
		t.Fatalf("%d %s", status, errs)
	}
	for _, words := range []string{"4 articles: 1 matched, 1 may mean several kinds, 1 unknown, 1 no fish of the catalogue.", "Artikelnr. as article", "Ignored columns: Regal.", "plant 1",
		"line 3, F-3: Assorted cory", "line 4, F-4: Fancy swordtale; near it:", "xiphophorus-hellerii"} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), words) {
			t.Errorf("it does not say %q:\n%s", words, out)
		}
	}
	if strings.Contains(out, "\x1b") {
		t.Errorf("colours in a pipe: %q", out)
	}
	_, narrow, _ := matched(t, tillList, map[string]string{"COLUMNS": "50"})
	_, wide, _ := matched(t, tillList, map[string]string{"COLUMNS": "150"})
	for width, text := range map[int]string{50: narrow, 80: out, 150: wide} {
		longest := 0
		for line := range strings.Lines(text) {
			longest = max(longest, len([]rune(strings.TrimRight(line, "\n"))))
		}
		if longest > width || longest < width-25 {
			t.Errorf("of %d columns the longest line has %d:\n%s", width, longest, text)
		}
	}
}

func TestStockMatchPrintsWhatTheAPIReports(t *testing.T) {
	list := `{"articles":[{"article":"F-1","name":"Neon tetra","in_stock":3},{"article":"F-2","name":"cory"}]}`
	status, out, errs := matched(t, list, nil, "--json")
	var r gen.StockReport
	if err := json.Unmarshal([]byte(out), &r); status != exitOK || errs != "" || err != nil {
		t.Fatalf("%d %s %v", status, errs, err)
	}
	if r.Articles != 2 || r.Matched != 1 || r.Ambiguous != 1 || r.Told[0].Article != "F-2" || r.Told[0].Line != nil || r.Stored != nil {
		t.Errorf("%+v", r)
	}
}

func TestStockMatchTellsMistakesByLine(t *testing.T) {
	for list, says := range map[string][]string{
		"article,name\nA,guppy\nA,oscar\n":         {"standard input:3: ", `article "A"`, "The number stands on line 2 too.", "nothing was matched"},
		"article,name,stock\nA,guppy,-1\nB,x,zz\n": {"standard input:2: ", `"-1"`, "standard input:3: ", `"zz"`, "yes or no"},
		"colour\nred\n":                  {"standard input:1: ", "no column for the article number"},
		`{"articles":[{"artikel":"A"}]}`: {"artikel"},
		`{"articles":[{"article":"A"}]}`: {"neither a name nor a species"},
		"":                               {"The file is empty."},
	} {
		status, out, errs := matched(t, list, nil)
		if status != exitUsage || out != "" {
			t.Errorf("%q: %d, printed %q", list, status, out)
		}
		for _, words := range says {
			if !strings.Contains(errs, words) {
				t.Errorf("%q: it does not say %q: %s", list, words, errs)
			}
		}
	}
}
