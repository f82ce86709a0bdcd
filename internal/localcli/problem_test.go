package localcli

import (
	"strings"
	"testing"

	"commensal/api/gen"
)

func TestAProblemNamesTheFlagTheFixAndTheCandidates(t *testing.T) {
	t.Parallel()
	fix := "Write 3 to 11."
	p := &gen.Problem{Errors: &[]gen.FieldError{
		{Pointer: "/query/ph", Detail: "ph: 15 is too much", Fix: &fix},
		{Pointer: "/query/gh_dh", Detail: "gh_dh: x is no hardness"},
		{Pointer: "/path/first", Detail: `"cory" has several meanings`, Candidates: &[]gen.SpeciesRef{{Id: "hoplisoma-paleatum", VernacularName: "Peppered corydoras"}, {Id: "a", VernacularName: "B"}}},
	}}
	var b strings.Builder
	Layout{}.WriteProblem(&b, p, map[string]string{"ph": "ph", "gh_dh": "gh"})
	want := `commensal: --ph: 15 is too much
  Write 3 to 11.
commensal: --gh: x is no hardness
commensal: "cory" has several meanings
  hoplisoma-paleatum  Peppered corydoras
  a                   B
`
	if b.String() != want {
		t.Errorf("got\n%s", b.String())
	}
}

func TestTheProblemsOfAListComeInTheOrderOfItsLines(t *testing.T) {
	t.Parallel()
	list, err := ReadList("-", strings.NewReader("residents:\n  - species: oscar\n    count: 0\n  - species: oscarr\n"))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	Layout{}.WriteListProblem(&b, list, &gen.Problem{Errors: &[]gen.FieldError{
		{Pointer: "/residents/1/species", Detail: `No species is called "oscarr".`}, {Pointer: "/residents/0/count", Detail: "/residents/0/count is below 1."},
	}})
	if want := "standard input:3: count is below 1.\nstandard input:4: No species is called \"oscarr\".\n"; b.String() != want {
		t.Errorf("got\n%s", b.String())
	}
}

func TestAtThePromptASearchIsACommand(t *testing.T) {
	t.Parallel()
	fix := "choose a candidate, or search with /v1/species?q="
	var b strings.Builder
	Layout{}.WriteProblem(&b, &gen.Problem{Errors: &[]gen.FieldError{{Pointer: "/path/first", Detail: "No species is called so.", Fix: &fix}}}, nil)
	if !strings.Contains(b.String(), "search with commensal species NAME") || strings.Contains(b.String(), "/v1/") {
		t.Error(b.String())
	}
}
