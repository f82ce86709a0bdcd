package verify_test

import (
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/species/synthetic"
)

// two is a catalogue of two entries without words: change gives them names.
func two(change func(a, b *species.Species)) species.Catalogue {
	c := synthetic.Catalogue(1, 2)
	change(c.Species[0], c.Species[1])
	return c
}

func TestVerifyFindsNamesThatSeveralEntriesCarry(t *testing.T) {
	for _, tt := range []struct {
		name   string
		change func(a, b *species.Species)
		field  string
	}{
		{"the same name", func(a, b *species.Species) {
			a.Names, b.Names = append(a.Names, cataloguetest.English("Same")), append(b.Names, cataloguetest.English("Same"))
		}, "names"},
		{"the same but for case, marks and hyphens", func(a, b *species.Species) {
			a.Names, b.Names = append(a.Names, cataloguetest.English("Blue-Eyed  Cóiote's")), append(b.Names, cataloguetest.English("blue eyed coiotes"))
		}, "names"},
		{"the same in two languages", func(a, b *species.Species) {
			a.Names, b.Names = append(a.Names, cataloguetest.English("Same")), append(b.Names, species.Name{Language: "fr", Text: "Same"})
		}, "names"},
		{"a synonym that is an accepted name", func(a, b *species.Species) { b.Synonyms = []string{a.ScientificName} }, "synonyms"},
		{"the same synonym", func(a, b *species.Species) {
			a.Synonyms, b.Synonyms = []string{"Parvus celer"}, []string{"Parvus celer"}
		}, "synonyms"},
		{"a name that is an accepted name", func(a, b *species.Species) { b.Names = append(b.Names, cataloguetest.English(a.ScientificName)) }, "names"},
		{"a name that is a synonym", func(a, b *species.Species) {
			a.Synonyms, b.Names = []string{"Parvus celer"}, append(b.Names, cataloguetest.English("parvus celer"))
		}, "names"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := two(tt.change)
			checkOnly(t, c, verify.Problem{
				Severity: fault, Species: c.Species[1].ID, Field: tt.field, Detail: "of " + string(c.Species[0].ID),
			})
		})
	}
}

func TestAnAcceptedNameWinsOverAnEarlierSynonym(t *testing.T) {
	c := two(func(a, b *species.Species) { a.Synonyms = []string{b.ScientificName} })
	checkOnly(t, c, verify.Problem{
		Severity: fault, Species: c.Species[0].ID, Field: "synonyms", Detail: "(scientific_name) of " + string(c.Species[1].ID),
	})
}

func TestVerifyAsksTheSnapshotWhereEachNameLeads(t *testing.T) {
	c := two(func(a, b *species.Species) { // the same to people without the stroke on their keyboard
		a.Names, b.Names = append(a.Names, cataloguetest.English("Rødfin")), append(b.Names, cataloguetest.English("Rodfin"))
	})
	problems := verify.Catalogue(c)
	if len(problems) != 2 || problems[0].Species != c.Species[0].ID || problems[1].Species != c.Species[1].ID ||
		!strings.Contains(problems[0].Detail, "does not lead to this entry") {
		t.Errorf("problems %v, want one for each of the two entries", problems)
	}
}

func TestVerifyFindsWhatCannotBeIndexed(t *testing.T) {
	c := synthetic.Catalogue(1, 2)
	word := strings.ReplaceAll(c.Species[1].ScientificName, "d", "đ") // the same to the snapshot
	c.Words = []species.GroupWord{{Word: word, Candidates: []species.ID{c.Species[0].ID, c.Species[1].ID}}}
	checkOnly(t, c, verify.Problem{Severity: fault, Field: "species", Detail: "the catalogue cannot be indexed"})
}

func TestOneEntryMayRepeatItsNames(t *testing.T) {
	c := two(func(a, _ *species.Species) {
		a.Names = append(a.Names, species.Name{Language: "fr", Text: a.Names[0].Text}, cataloguetest.English(a.ScientificName))
	})
	if problems := verify.Catalogue(c); len(problems) > 0 {
		t.Error(problems)
	}
}

func TestADeclaredWordMayBeShared(t *testing.T) {
	share := func(a, b *species.Species) {
		a.Names, b.Names = append(a.Names, cataloguetest.English("Stripey")), append(b.Names, cataloguetest.English("Stripey"))
	}
	c := two(share)
	a, b := c.Species[0].ID, c.Species[1].ID
	c.Words = []species.GroupWord{{Word: "stripey", Candidates: []species.ID{b, a}}}
	if problems := verify.Catalogue(c); len(problems) > 0 {
		t.Error(problems)
	}
	c.Words[0].Candidates = []species.ID{b}
	checkOnly(t, c, verify.Problem{Severity: fault, Species: a, Field: "names", Detail: "not among its candidates"})
}

func TestVerifyFindsNamesThatCannotBeLookedUp(t *testing.T) {
	for name, text := range map[string]string{
		"no letter or digit": "?!", "longer than 200 bytes": strings.Repeat("a", 201), "unprintable character": "a\tb",
	} {
		c := two(func(a, _ *species.Species) { a.Names = append(a.Names, cataloguetest.English(text)) })
		checkOnly(t, c, verify.Problem{Severity: fault, Species: c.Species[0].ID, Field: "names", Detail: name})
	}
}

func TestVerifyChecksWordsAndSources(t *testing.T) {
	c := synthetic.Catalogue(1, 2)
	a, b := c.Species[0], c.Species[1]
	word := func(w string, ids ...species.ID) []species.GroupWord {
		return []species.GroupWord{{Word: w, Candidates: ids}}
	}
	for _, tt := range []struct {
		name     string
		words    []species.GroupWord
		sources  []species.Source
		severity verify.Severity
		field    string
		detail   string
	}{
		{"unknown candidate", word("x", a.ID, "no-such"), nil, fault, "words x", `no entry "no-such"`},
		{"candidate twice", word("x", a.ID, b.ID, a.ID), nil, fault, "words x", "stands twice"},
		{"no candidates", word("x"), nil, fault, "words x", "no candidates"},
		{"word without letters", word("-", a.ID, b.ID), nil, fault, "words -", "no name can be this word"},
		{"word twice", append(word("Xé", a.ID, b.ID), word("xe", a.ID, b.ID)...), nil, fault, "words xe", "stands twice"},
		{"source that nobody cites", nil, []species.Source{{Key: "k", Citation: "c"}}, review, "sources k", "no value cites it"},
		{"source without a citation", nil, []species.Source{{Key: "k", Citation: " "}}, fault, "sources k", "empty"},
		{"source with a bad key", nil, []species.Source{{Key: "k k", Citation: "c"}}, fault, "sources k k", "letters, digits"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			checkOnly(t, species.Catalogue{Species: c.Species, Words: tt.words, Sources: tt.sources},
				verify.Problem{Severity: tt.severity, Field: tt.field, Detail: tt.detail})
		})
	}
}

func TestAWordIsNoScientificName(t *testing.T) {
	c := synthetic.Catalogue(1, 2)
	a, b := c.Species[0], c.Species[1]
	c.Words = []species.GroupWord{{Word: a.ScientificName, Candidates: []species.ID{a.ID, b.ID}}}
	checkOnly(t, c, verify.Problem{Severity: fault, Species: a.ID, Field: "words", Detail: "is a scientific name"})
}

func TestASourceThatAValueCitesIsUsed(t *testing.T) {
	c := synthetic.Catalogue(1, 1)
	c.Species[0].Traits[species.Length].Basis = "source:k"
	c.Sources = []species.Source{{Key: "k", Citation: "c"}}
	if problems := verify.Catalogue(c); len(problems) > 0 {
		t.Error(problems)
	}
	c.Sources = append(c.Sources, c.Sources[0])
	checkOnly(t, c, verify.Problem{Severity: fault, Field: "sources k", Detail: "stands twice"})
}

// withForm adds a trade form of the first entry.
func withForm(change func(*species.Species)) species.Catalogue {
	c := synthetic.Catalogue(1, 2)
	form := *c.Species[0]
	form.Form, form.FormOf = "fancy", form.ID
	form.ID = species.MakeID(form.ScientificName, "fancy")
	form.Names = []species.Name{cataloguetest.English("Fancy one")}
	change(&form)
	c.Species = append(c.Species, &form)
	return c
}

func TestVerifyChecksTradeForms(t *testing.T) {
	if problems := verify.Catalogue(withForm(func(*species.Species) {})); len(problems) > 0 {
		t.Fatalf("a legal form: %v", problems)
	}
	for _, tt := range []struct {
		name   string
		change func(*species.Species)
		field  string
		detail string
	}{
		{"no parent named", func(s *species.Species) {
			s.FormOf = ""
			s.ScientificName = "Parvus celer"
			s.ID = "parvus-celer-fancy"
		}, "form", "go together"},
		{"unknown parent", func(s *species.Species) { s.FormOf = "no-such" }, "form_of", `no entry "no-such"`},
		{"parent that is a form", func(s *species.Species) { s.FormOf = s.ID }, "form_of", "is itself a form"},
		{"parent of another name", func(s *species.Species) { s.ScientificName = "Parvus celer"; s.ID = "parvus-celer-fancy" }, "form_of", "another scientific name"},
	} {
		c := withForm(tt.change)
		t.Run(tt.name, func(t *testing.T) {
			checkOnly(t, c, verify.Problem{Severity: fault, Species: c.Species[2].ID, Field: tt.field, Detail: tt.detail})
		})
	}
}

func TestVerifyFindsEntriesTwice(t *testing.T) {
	c := synthetic.Catalogue(1, 2)
	again := *c.Species[0]
	c.Species = append(c.Species, &again)
	checkOnly(t, c, verify.Problem{Severity: fault, Species: again.ID, Field: "id", Detail: "another entry has the same id"})
}

func TestVerifySurvivesAMissingEntry(t *testing.T) {
	c := synthetic.Catalogue(1, 2)
	c.Species = append(c.Species, nil)
	checkOnly(t, c, verify.Problem{Severity: fault, Field: "species", Detail: "entry 2 is missing"})
}

func TestVerifyOfAnEmptyEntryNamesWhatIsMissing(t *testing.T) {
	problems := verify.Catalogue(species.Catalogue{Species: []*species.Species{{}}})
	required := 0
	for _, p := range problems {
		if strings.HasPrefix(p.Field, "trait ") && p.Detail == "missing" && p.Severity == fault {
			required++
		}
	}
	if required != 28 { // all traits but females_per_male and tank_height
		t.Errorf("%d required traits are reported missing, want 28", required)
	}
	if !verify.HasErrors(problems) || verify.HasErrors(nil) {
		t.Error("HasErrors does not tell errors")
	}
}

func TestProblemsReadAsOneLine(t *testing.T) {
	for want, p := range map[string]verify.Problem{
		"error: a-b: trait length: missing": {Severity: fault, Species: "a-b", Field: "trait length", Detail: "missing"},
		"review: words x: one candidate":    {Severity: review, Field: "words x", Detail: "one candidate"},
	} {
		if p.String() != want {
			t.Errorf("%q, want %q", p, want)
		}
	}
}
