package law_test

import (
	"slices"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/law"
)

func fish(name, family string, synonyms ...string) *species.Species {
	return &species.Species{ID: species.MakeID(name, ""), ScientificName: name, Family: family, Synonyms: synonyms}
}

func rule(id string, acts [law.NumActs]law.Degree, taxa ...law.Taxon) law.Rule {
	return law.Rule{ID: id, Regions: []law.Region{law.EuropeanUnion}, Regulation: "Act " + id, Number: id, Year: 2000, Acts: acts, Taxa: taxa,
		Known: "2025-08", Basis: law.Source, TaxaBasis: law.Memory}
}

func TestTaxaCoverTheirKinds(t *testing.T) {
	snakehead := fish("Channa argus", "Channidae", "Ophicephalus argus")
	for taxon, want := range map[law.Taxon]bool{
		"Channa argus": true, "Ophicephalus argus": true, "Channa": true, "Channidae": true, "any": true,
		"Channa asiatica": false, "Ophicephalus": false, "Chan": false, "Clariidae": false,
	} {
		if got := taxon.Covers(snakehead); got != want {
			t.Errorf("%s covers it: %t", taxon, got)
		}
	}
	if !law.Taxon("Acipenser ruthenus").Covers(fish("Acipenser ruthenus marsiglii", "Acipenseridae")) {
		t.Error("a subspecies is not covered with its species")
	}
}

func TestTheStrictestRuleOfTheRegionHolds(t *testing.T) {
	rules := []law.Rule{
		rule("a", [law.NumActs]law.Degree{law.Import: law.Permit, law.Sale: law.Permit}, law.Any),
		rule("b", [law.NumActs]law.Degree{law.Sale: law.Forbidden}, "Channa"),
	}
	rules[1].Except = []law.Taxon{"Channa gachua"}
	eu := law.PlaceOf("Germany")
	got := law.Of(rules, eu, fish("Channa argus", "Channidae"))
	if got.Acts != [law.NumActs]law.Degree{law.Sale: law.Forbidden, law.Import: law.Permit} || got.Hands() != law.Forbidden || !got.Specific() {
		t.Errorf("got %+v", got)
	}
	got = law.Of(rules, eu, fish("Channa gachua", "Channidae"))
	if got.Acts[law.Sale] != law.Permit || len(got.Rules) != 1 || got.Specific() {
		t.Errorf("the exception gets %+v", got)
	}
	for _, text := range []string{"", "Japan", "Atlantis"} {
		if got := law.Of(rules, law.PlaceOf(text), fish("Channa argus", "Channidae")); len(got.Rules) != 0 {
			t.Errorf("in %q %+v", text, got)
		}
	}
}

func TestSentencesDeferToTheAuthority(t *testing.T) {
	argus := fish("Channa argus", "Channidae")
	rules := []law.Rule{
		rule("import-rule", [law.NumActs]law.Degree{law.Import: law.Permit}, "Channidae"),
		rule("sale-rule", [law.NumActs]law.Degree{law.Sale: law.Forbidden, law.Keeping: law.Forbidden, law.Release: law.Forbidden}, "Channa argus"),
	}
	got := law.Of(rules, law.PlaceOf("bavaria-free text"), argus).Sentences(argus)
	if got != nil {
		t.Errorf("an unknown place gives %q", got)
	}
	got = law.Of(rules, law.PlaceOf("Deutschland"), argus).Sentences(argus)
	if len(got) != 4 || got[3] != law.CheckLocalLaw || !strings.Contains(got[2], "Deutschland may have stricter") {
		t.Fatalf("got %q", got)
	}
	want := "Act sale-rule, sale-rule, 2000: in the European Union sale, keeping and release are forbidden for Channa argus, as known in 2025-08, its list noted from memory."
	if got[0] != want {
		t.Errorf("got  %s\nwant %s", got[0], want)
	}
	if !strings.Contains(got[1], "import needs a permit") || !strings.Contains(got[1], "(as Channidae)") {
		t.Errorf("got %s", got[1])
	}
}

func TestContradictions(t *testing.T) {
	allow := [law.NumActs]law.Degree{law.Sale: law.Allowed}
	forbid := [law.NumActs]law.Degree{law.Sale: law.Forbidden}
	permit := [law.NumActs]law.Degree{law.Sale: law.Permit}
	kinds := []*species.Species{fish("Channa argus", "Channidae")}
	for _, tt := range []struct {
		name  string
		rules []law.Rule
		want  int
	}{
		{"same taxon", []law.Rule{rule("a", allow, "Channa argus"), rule("b", forbid, "Channa argus")}, 1},
		{"species in genus", []law.Rule{rule("a", allow, "Channa"), rule("b", forbid, "Channa asiatica")}, 1},
		{"genus in family", []law.Rule{rule("a", allow, "Channidae"), rule("b", permit, "Channa")}, 1},
		{"excepted", []law.Rule{except(rule("a", allow, "Channa"), "Channa argus"), rule("b", forbid, "Channa argus")}, 0},
		{"other taxon", []law.Rule{rule("a", allow, "Channa gachua"), rule("b", forbid, "Channa argus")}, 0},
		{"stricter is no contradiction", []law.Rule{rule("a", permit, "Channa"), rule("b", forbid, "Channa argus")}, 0},
		{"one regulation, two degrees", []law.Rule{rule("a", permit, "Channa"), likeA(rule("b", forbid, "Channa"))}, 1},
		{"other region", []law.Rule{rule("a", allow, "Channa"), elsewhere(rule("b", forbid, "Channa"))}, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := law.Contradictions(tt.rules, kinds); len(got) != tt.want {
				t.Errorf("got %v", got)
			}
			slices.Reverse(tt.rules)
			if got := law.Contradictions(tt.rules, kinds); len(got) != tt.want {
				t.Errorf("the other way round %v", got)
			}
		})
	}
}

func except(r law.Rule, taxa ...law.Taxon) law.Rule { r.Except = taxa; return r }
func elsewhere(r law.Rule) law.Rule                 { r.Regions = []law.Region{law.Japan}; return r }
func likeA(r law.Rule) law.Rule                     { r.Regulation, r.Number = "Act a", "a"; return r }

func TestAbsent(t *testing.T) {
	r := except(rule("a", [law.NumActs]law.Degree{law.Sale: law.Permit}, "Channa", "Esocidae", "Channa argus"), "Esox lucius")
	got := law.Absent([]law.Rule{r, r}, []*species.Species{fish("Channa argus", "Channidae")})
	if !slices.Equal(got, []law.Taxon{"Esocidae", "Esox lucius"}) {
		t.Errorf("got %v", got)
	}
}

func TestPlaceOf(t *testing.T) {
	for text, want := range map[string]string{
		"EU": "EU", " european  union ": "EU", "DE": "EU", "de": "EU", "France": "EU", "España": "EU", "FR-75": "EU",
		"UK": "GB", "Scotland": "GB", "Northern Ireland": "GB EU", "GB-NIR": "GB EU", "gb-eng": "GB",
		"Texas": "US", "us-tx": "US", "USA": "US", "CA": "CA", "California": "US", "US-CA": "US",
		"Queensland": "AU", "nz": "NZ", "日本": "JP", "ontario": "CA",
		"": "", "Norway": "", "TX": "", "Georgia": "", "de-facto": "", "xx-yy": "", "us-": "",
	} {
		p := law.PlaceOf(text)
		var got []string
		for _, r := range p.Regions {
			got = append(got, string(r))
		}
		if strings.Join(got, " ") != want || p.Known() != (want != "") || p.Text != text {
			t.Errorf("%q is in %v, want %q", text, got, want)
		}
	}
}
