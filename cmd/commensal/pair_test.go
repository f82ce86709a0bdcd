package main

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"commensal/api/gen"
	"commensal/internal/store/dbtest"
)

func TestJSONIsWhatTheServiceAnswersToTheSameQuestion(t *testing.T) {
	t.Parallel()
	s := serve(t, environment{"DATABASE_URL": dbtest.New(t)}, "--migrate")
	for _, c := range []struct {
		first, second, query string
		flags                []string
	}{
		{first: "oscar", second: "neon tetra"},
		{first: "betta", second: "betta"},
		{first: "Astronotus ocellatus", second: "jack dempsey", query: "tank=48x24x24in&temperature_c=78F&ph=7&gh_dh=178ppm&cover=0.5&units=us",
			flags: []string{"--tank", "48x24x24in", "--temperature", "78F", "--ph", "7", "--gh", "178ppm", "--cover", "0.5", "--units", "us"}},
		{first: "guppy", second: "molly", query: "salinity_ppt=1.005sg&first_count=3&second_count=5&first_sex=male&second_sex=female&first_length_cm=1in&second_length_cm=5",
			flags: []string{"--salinity", "1.005sg", "--first-count", "3", "--second-count", "5", "--first-sex", "male",
				"--second-sex", "female", "--first-length", "1in", "--second-length", "5"}},
		{first: "cory", second: "guppy"},
		{first: "no such fish", second: "guppy", query: "ph=15", flags: []string{"--ph", "15"}},
	} {
		args := append([]string{"pair", c.first, c.second, "--json"}, c.flags...)
		_, out, _ := run(t, nil, args...)
		_, body := s.get(t, "/v1/pairings/"+url.PathEscape(c.first)+"/"+url.PathEscape(c.second)+"?"+c.query)
		if offline, online := unnumbered(t, out), unnumbered(t, body); offline != online {
			t.Errorf("%v:\noffline %s\nonline  %s", args, offline, online)
		}
	}
}

// unnumbered leaves out what differs by nature: the revision that a database numbered
// and the number of the request.
func unnumbered(t *testing.T, text string) string {
	t.Helper()
	var answer map[string]any
	if err := json.Unmarshal([]byte(text), &answer); err != nil {
		t.Fatalf("%v in %q", err, text)
	}
	delete(answer, "catalogue_revision")
	delete(answer, "instance")
	out, err := json.Marshal(answer)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestAMistakeAtThePromptNamesTheFlagAndTheFix(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		args   []string
		stderr []string
	}{
		{"an ambiguous name lists its candidates", []string{"cory", "guppy"}, []string{`"cory"`, "hoplisoma-paleatum", "Peppered corydoras"}},
		{"an unknown name lists near ones", []string{"guppy", "kribbensis"}, []string{`"kribbensis"`, "pelvicachromis-pulcher"}},
		{"an animal that is no fish says why it lives apart", []string{"axolotyl", "guppy"}, []string{`"axolotyl" (axolotl) must live in a cold tank without fish`}},
		{"an impossible pH", []string{"guppy", "oscar", "--ph", "15"}, []string{"--ph", "3 to 11"}},
		{"an impossible temperature", []string{"guppy", "oscar", "--temperature", "200C"}, []string{"--temperature", "0 to 45"}},
		{"a tank of one side", []string{"guppy", "oscar", "--tank", "100cm"}, []string{"--tank", "120x45x50cm"}},
		{"a tank a kilometre long", []string{"guppy", "oscar", "--tank", "100000x50x50cm"}, []string{"--tank"}},
		{"no fish at all", []string{"guppy", "oscar", "--first-count", "0"}, []string{"--first-count"}},
		{"a number that is none", []string{"guppy", "oscar", "--second-count", "many"}, []string{"--second-count"}},
		{"a sex that is none", []string{"guppy", "oscar", "--first-sex", "yes"}, []string{"--first-sex", "female"}},
		{"a length that is none", []string{"guppy", "oscar", "--second-length", "long"}, []string{"--second-length"}},
		{"units that are none", []string{"guppy", "oscar", "--units", "imperial"}, []string{"--units"}},
		{"two mistakes at once", []string{"guppy", "oscar", "--ph", "15", "--gh", "x"}, []string{"--gh"}},
		{"an empty name", []string{"", "oscar"}, []string{"empty"}},
		{"a name of dots", []string{"..", "oscar"}, []string{".."}},
		{"a name with a slash", []string{"a/b", "oscar"}, []string{"a/b"}},
		{"a name with a control character", []string{"a\x00b", "oscar"}, nil},
		{"a name that is not UTF-8", []string{"a\xffb", "oscar"}, nil},
		{"a name without end", []string{strings.Repeat("a", 5000), "oscar"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			status, stdout, stderr := run(t, nil, append([]string{"pair"}, c.args...)...)
			if status != exitUsage || stdout != "" || !strings.HasPrefix(stderr, "commensal: ") {
				t.Errorf("status %d, stdout %q, stderr %q", status, stdout, stderr)
			}
			for _, part := range c.stderr {
				if !strings.Contains(stderr, part) {
					t.Errorf("%q lacks %q", stderr, part)
				}
			}
		})
	}
}

func TestJSONOfAMistakeIsTheProblemAndTheMessageStays(t *testing.T) {
	t.Parallel()
	status, stdout, stderr := run(t, nil, "pair", "cory", "guppy", "--json")
	var p gen.Problem
	if err := json.Unmarshal([]byte(stdout), &p); err != nil {
		t.Fatal(err)
	}
	if status != exitUsage || p.Status != http.StatusUnprocessableEntity || !strings.Contains(stderr, "hoplisoma-paleatum") {
		t.Errorf("status %d, problem %+v, stderr %q", status, p, stderr)
	}
}
