package catalogue_test

import (
	"errors"
	"io/fs"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/entry"
)

const smallFile = `# A comment.
- scientific_name: Parvus rapidus
  family: Parvidae
  synonyms: [Parvus celer]
  names:
    en: [Quick one, "No"]
    zh-Hans: [快鱼]
  body_form: fusiform
  guild: omnivore
  feeds_by: sift
  active: any
  social: group
  shape: torpedo
  colours: [silver, blue]
  hybridises: [Parvus]
  sexed_in_trade: true
  sold_as: male
  availability: rare
  needs: [plants]
  cautions: [short_lived, bites]
  legal_note: "Check local law: always."
  note: Jumps; keep a lid on.
  basis: source:smith-2001
  traits:
    length: 2.5 3 3.5 cm memory
`

func TestParseFileReadsEveryKey(t *testing.T) {
	text := smallFile + `    growth_k: 2 2.5 3 1/year source:k
  male:
    length: 2 2 2.5 cm memory
  female:
    length: 3 3 3 cm memory
  water:
    ph: 5 6 7 8 pH memory
    salinity: 0 0 .5 1 ppt memory
  zones: 0.25 0.5 0.25 memory
  feeding_zones: 1 0 0 source:z
- {scientific_name: Carassius auratus, form: fancy, form_of: carassius-auratus}
`
	got, err := catalogue.ParseFile("species/small.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	memory := func(low, typical, high float64) species.Value {
		return species.Value{Band: species.Band{Low: low, Typical: typical, High: high}, Basis: species.Memory}
	}
	want := &species.Species{
		ID: "parvus-rapidus", ScientificName: "Parvus rapidus", Family: "Parvidae", Synonyms: []string{"Parvus celer"},
		Names:    []species.Name{{Language: "en", Text: "Quick one"}, {Language: "en", Text: "No"}, {Language: "zh-Hans", Text: "快鱼"}},
		BodyForm: species.Fusiform, Guild: species.Omnivore, FeedsBy: species.SiftGround, Active: species.AnyHour, Social: species.Group, Shape: "torpedo",
		Colours: []string{"silver", "blue"}, Hybridises: []string{"Parvus"}, SexedTrade: true, SoldAs: species.Male, Available: species.RareSeller,
		Needs: []string{"plants"}, Cautions: []species.Caution{species.ShortLived, species.Bites},
		LegalNote: "Check local law: always.", Note: "Jumps; keep a lid on.", Basis: "source:smith-2001",
		Zones:        species.ZoneUse{Share: [3]float64{0.25, 0.5, 0.25}, Basis: species.Memory},
		FeedingZones: species.ZoneUse{Share: [3]float64{1, 0, 0}, Basis: "source:z"},
	}
	want.Traits[species.Length] = memory(2.5, 3, 3.5)
	want.Traits[species.GrowthK] = species.Value{Band: species.Band{Low: 2, Typical: 2.5, High: 3}, Basis: "source:k"}
	want.MaleTraits[species.Length] = memory(2, 2, 2.5)
	want.FemaleTraits[species.Length] = memory(3, 3, 3)
	want.Water[species.PH] = species.WaterRange{Tolerated: species.Range{Low: 5, High: 8}, Preferred: species.Range{Low: 6, High: 7}, Basis: species.Memory}
	want.Water[species.Salinity] = species.WaterRange{Tolerated: species.Range{High: 1}, Preferred: species.Range{High: 0.5}, Basis: species.Memory}
	fancy := &species.Species{ID: "carassius-auratus-fancy", ScientificName: "Carassius auratus", Form: "fancy", FormOf: "carassius-auratus"}
	if len(got) != 2 || !reflect.DeepEqual(got[0], want) || !reflect.DeepEqual(got[1], fancy) {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
}

func TestParseFileCopesWithWhatEditorsDo(t *testing.T) {
	want, err := catalogue.ParseFile("f", []byte("- scientific_name: Parvus rapidus\n  family: Parvidae\n"))
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"a byte order mark":          "\xef\xbb\xbf- scientific_name: Parvus rapidus\n  family: Parvidae\n",
		"Windows line ends":          "- scientific_name: Parvus rapidus\r\n  family: Parvidae\r\n",
		"no line end at the end":     "- scientific_name: Parvus rapidus\n  family: Parvidae",
		"a document start":           "---\n- scientific_name: Parvus rapidus\n  family: Parvidae\n",
		"quotes and another order":   "- family: 'Parvidae'\n  scientific_name: \"Parvus rapidus\"\n",
		"comments between and after": "# a\n- scientific_name: Parvus rapidus # b\n  # c\n  family: Parvidae\n# d\n",
	} {
		got, err := catalogue.ParseFile("f", []byte(text))
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: got %v, %v", name, got, err)
		}
	}
}

func TestParseReadsTheFilesInOrder(t *testing.T) {
	files := fstest.MapFS{
		"species/b.yaml": {Data: []byte("- scientific_name: Secundus alter\n")},
		"species/a.yaml": {Data: []byte("- scientific_name: Primus unus\n- scientific_name: Primus duo\n")},
		"words.yaml":     {Data: []byte("# w\nprime: [primus-unus, primus-duo]\n")},
		"sources.yaml":   {Data: []byte("smith-2001: \"Smith 2001: Fish\"\n")},
		"README.md":      {Data: []byte("not read")},
	}
	c, err := catalogue.Parse(files)
	if err != nil {
		t.Fatal(err)
	}
	var ids []species.ID
	for _, s := range c.Species {
		ids = append(ids, s.ID)
	}
	if want := []species.ID{"primus-unus", "primus-duo", "secundus-alter"}; !reflect.DeepEqual(ids, want) {
		t.Errorf("ids = %v, want %v", ids, want)
	}
	if want := []species.GroupWord{{Word: "prime", Candidates: []species.ID{"primus-unus", "primus-duo"}}}; !reflect.DeepEqual(c.Words, want) {
		t.Errorf("words = %v, want %v", c.Words, want)
	}
	if want := []species.Source{{Key: "smith-2001", Citation: "Smith 2001: Fish"}}; !reflect.DeepEqual(c.Sources, want) {
		t.Errorf("sources = %v, want %v", c.Sources, want)
	}
}

func TestParseNeedsNoWordsAndNoSources(t *testing.T) {
	for name, files := range map[string]fstest.MapFS{
		"files absent":        {},
		"files with comments": {"words.yaml": {Data: []byte("# none\n")}, "sources.yaml": {Data: []byte("# none\n{}\n")}},
		"empty files":         {"words.yaml": {}, "sources.yaml": {}},
	} {
		files["species/a.yaml"] = &fstest.MapFile{Data: []byte("- scientific_name: Primus unus\n")}
		c, err := catalogue.Parse(files)
		if err != nil || len(c.Species) != 1 || c.Words != nil || c.Sources != nil {
			t.Errorf("%s: got %v, %v", name, c, err)
		}
	}
}

func TestParseOfNothing(t *testing.T) {
	if _, err := catalogue.Parse(fstest.MapFS{"words.yaml": {}}); !errors.Is(err, catalogue.ErrNoSpecies) {
		t.Errorf("error = %v, want ErrNoSpecies", err)
	}
}

// brokenFS fails to open one file that it lists.
type brokenFS struct {
	fstest.MapFS
	name string
}

func (b brokenFS) Open(name string) (fs.File, error) {
	if name == b.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return b.MapFS.Open(name)
}

func TestParsePassesOnErrorsOfTheFileSystem(t *testing.T) {
	files := fstest.MapFS{"species/a.yaml": {Data: []byte("- scientific_name: Primus unus\n")}, "words.yaml": {}, "sources.yaml": {}}
	for _, name := range []string{"species/a.yaml", "words.yaml", "sources.yaml"} {
		c, err := catalogue.Parse(brokenFS{files, name})
		if !errors.Is(err, fs.ErrPermission) || len(c.Species) != 0 {
			t.Errorf("%s cannot be opened: got %v, %v", name, c, err)
		}
	}
}

func TestParseReportsTheFaultsOfAllFiles(t *testing.T) {
	_, err := catalogue.Parse(fstest.MapFS{
		"species/a.yaml": {Data: []byte("- scientific_name: Primus unus\n  color: red\n")},
		"species/b.yaml": {Data: []byte("- scientific_name: Secundus alter\n  family: 7\n")},
		"species/c.yml":  {Data: []byte("- scientific_name: Tertius ultimus\n")},
		"words.yaml":     {Data: []byte("prime: primus-unus\n")},
		"sources.yaml":   {Data: []byte("a b: x\n")},
	})
	var errs entry.Errors
	if !errors.As(err, &errs) {
		t.Fatalf("error = %v, want catalogue.Errors", err)
	}
	var files []string
	for _, le := range errs {
		files = append(files, le.File)
	}
	want := []string{"species/c.yml", "species/a.yaml", "species/b.yaml", "words.yaml", "sources.yaml"}
	if !reflect.DeepEqual(files, want) {
		t.Errorf("faults in %v, want %v", files, want)
	}
	if first := (entry.LineError{}); !errors.As(err, &first) || first.File != "species/c.yml" {
		t.Errorf("errors.As gives %v, want the first fault", first)
	}
}

func TestErrorsAreBounded(t *testing.T) {
	text := "- scientific_name: Primus unus\n" + strings.Repeat("- family: Parvidae\n", 150)
	_, err := catalogue.ParseFile("f", []byte(text))
	var errs entry.Errors
	if !errors.As(err, &errs) || len(errs) != entry.MaxErrors {
		t.Fatalf("%d faults, want %d", len(errs), entry.MaxErrors)
	}
	if !strings.HasSuffix(err.Error(), "\nonly the first 100 faults are listed") {
		t.Errorf("the message does not say that faults are left out: %q", err.Error()[len(err.Error())-80:])
	}
}
