package catalogue_test

import (
	"errors"
	"strings"
	"testing"

	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/entry"
)

// head is the start of a legal block; what a case adds begins on line 3.
const head = "- scientific_name: Parvus rapidus\n  family: Parvidae\n"

func TestParseFileNamesTheLineOfEachFault(t *testing.T) {
	for _, tt := range []struct{ name, text, want string }{
		{"unknown key", head + "  colour: red\n", `f:3: unknown key "colour"`},
		{"merge key", head + "  <<: {family: X}\n", `f:3: "<<" is not text`},
		{"key twice", head + "  note: a\n  family: Otheridae\n", `f:4: the key "family" stands twice`},
		{"unknown trait", head + "  traits:\n    weight: 1 2 3 cm memory\n", `f:4: trait: unknown key "weight"`},
		{"trait twice", head + "  traits:\n    length: 1 2 3 cm memory\n    length: 1 2 3 cm memory\n", `f:5: trait: the key "length" stands twice`},
		{"wrong unit", head + "  traits:\n    length: 1 2 3 in memory\n", `f:4: trait length: unit "in" is not cm`},
		{"wrong unit of one sex", head + "  male:\n    territory: 1 2 3 m memory\n", `f:4: male territory: unit "m" is not cm`},
		{"no unit", head + "  traits:\n    length: 1 2 3 memory\n", "f:4: trait length: must be `low typical high unit basis`, has 4 parts"},
		{"trait as a list", head + "  traits:\n    length: [1, 2, 3]\n", `f:4: trait length: must be a single value`},
		{"trait as a number", head + "  traits:\n    length: 3\n", `f:4: trait length: "3" is not text`},
		{"falling numbers", head + "  traits:\n    length: 1 4 3 cm memory\n", `f:4: trait length: 4 is above 3`},
		{"negative number", head + "  traits:\n    length: -1 2 3 cm memory\n", `f:4: trait length: "-1" is not a number`},
		{"exponent", head + "  traits:\n    length: 1e0 2 3 cm memory\n", `f:4: trait length: "1e0" is not a number`},
		{"infinity", head + "  traits:\n    length: 1 2 Inf cm memory\n", `f:4: trait length: "Inf" is not a number`},
		{"not a number", head + "  traits:\n    length: 1 NaN 2 cm memory\n", `f:4: trait length: "NaN" is not a number`},
		{"decimal comma", head + "  traits:\n    length: 1,5 2 3 cm memory\n", `f:4: trait length: "1,5" is not a number`},
		{"point without digits", head + "  traits:\n    length: . 2 3 cm memory\n", `f:4: trait length: "." is not a number`},
		{"point at the end", head + "  traits:\n    length: 1. 2 3 cm memory\n", `f:4: trait length: "1." is not a number`},
		{"hexadecimal", head + "  traits:\n    length: 0x1 2 3 cm memory\n", `f:4: trait length: "0x1" is not a number`},
		{"beyond every float", head + "  traits:\n    length: 1 2 " + strings.Repeat("9", 400) + " cm memory\n", `f:4: trait length: "999`},
		{"unknown basis", head + "  traits:\n    length: 1 2 3 cm hearsay\n", `f:4: trait length: basis "hearsay" is neither`},
		{"source without a key", head + "  basis: 'source:'\n", `f:3: basis: basis "source:" is neither`},
		{"unknown water parameter", head + "  water:\n    kh: 1 2 3 4 dH memory\n", `f:4: water: unknown key "kh"`},
		{"wrong water unit", head + "  water:\n    temperature: 70 75 80 82 F memory\n", `f:4: water temperature: unit "F" is not C`},
		{"preferred outside tolerated", head + "  water:\n    ph: 6 5 7 8 pH memory\n", `f:4: water ph: 6 is above 5`},
		{"zones with a unit", head + "  zones: 0 0 1 share memory\n", "f:3: zones: must be `surface middle bottom basis`, has 5 parts"},
		{"two zones", head + "  feeding_zones: 0.5 0.5 memory\n", "f:3: feeding_zones: must be `surface middle bottom basis`, has 3 parts"},
		{"unknown guild", head + "  guild: gourmet\n", `f:3: guild: "gourmet" is none of: piscivore, predator`},
		{"unknown body form", head + "  body_form: round\n", `f:3: body_form: "round" is none of: eel_like`},
		{"unknown social", head + "  social: alone\n", `f:3: social: "alone" is none of: solitary`},
		{"unknown shape", head + "  shape: cube\n", `f:3: shape: "cube" is none of: torpedo`},
		{"unknown colour", head + "  colours: [red, mauve]\n", `f:3: colours: "mauve" is none of: silver`},
		{"unknown need", head + "  needs: [love]\n", `f:3: needs: "love" is none of: sand`},
		{"unknown caution", head + "  cautions: [cute]\n", `f:3: cautions: "cute" is none of: venomous`},
		{"unknown sex", head + "  sold_as: both\n", `f:3: sold_as: "both" is none of: male, female`},
		{"truth in other words", head + "  sexed_in_trade: yes\n", `f:3: sexed_in_trade: "yes" is not true or false`},
		{"quoted truth", head + "  sexed_in_trade: \"true\"\n", `f:3: sexed_in_trade: "true" is not true or false`},
		{"empty list", head + "  needs: []\n", `f:3: needs: the list is empty`},
		{"text in place of a list", head + "  needs: sand\n", `f:3: needs: must be a list`},
		{"item twice", head + "  needs:\n    - sand\n    - sand\n", `f:5: needs: "sand" is listed twice`},
		{"empty value", head + "  note:\n", `f:3: note: the value is empty`},
		{"a word that is none", head + "  names:\n    en: [Fish, true]\n", `f:4: names en: "true" is not text`},
		{"a number for a name", head + "  names:\n    en: [12]\n", `f:4: names en: "12" is not text`},
		{"not a language", head + "  names:\n    english: [Fish]\n", `f:4: names: "english" is not a language tag`},
		{"names without languages", head + "  names: [Fish]\n", `f:3: names: must be a mapping of keys`},
		{"blank at the end", head + "  note: \"a \"\n", `f:3: note: the text begins or ends with a blank`},
		{"two lines", head + "  note: \"a\\nb\"\n", `f:3: note: the text has a line break`},
		{"block text", head + "  note: |-\n    a\n    b\n", `f:3: note: the text has a line break`},
		{"overlong text", head + "  note: " + strings.Repeat("a", entry.MaxText+1) + "\n", `f:3: note: the text is longer than 2000 bytes`},
		{"anchor", head + "  note: &a b\n", `f:3: note: anchors (&) are not allowed`},
		{"alias", head + "  ? &a b\n  : c\n  note: *a\n", `f:5: note: aliases (*) are not allowed`},
		{"tag", head + "  note: !!str 5\n", `f:3: note: tags (!) are not allowed`},
		{"own tag", head + "  needs: !x [sand]\n", `f:3: needs: tags (!) are not allowed`},
		{"key that is no text", head + "  [a]: b\n", `f:3: must be a single value`},
		{"no scientific name", head + "- family: Parvidae\n", `f:3: scientific_name: the block has no scientific name`},
		{"name without letters", "- scientific_name: \"...\"\n", `f:1: scientific_name: "..." makes no id`},
		{"block that is text", head + "- Parvus celer\n", `f:3: must be a mapping of keys`},
		{"file that is a mapping", "scientific_name: Parvus rapidus\n", `f:1: must be a list`},
		{"empty file", "", `f:1: the file holds no entry`},
		{"comments only", "# nothing\n", `f:1: the file holds no entry`},
		{"empty list of entries", "[]\n", `f:1: the file holds no entry`},
		{"second document", head + "---\n- scientific_name: Parvus celer\n", `f:3: a second document begins here`},
		{"syntax after the document", head + "...\n%%\n", `f:4: not YAML: `},
		{"tab for indentation", head + "\tnote: a\n", `: not YAML: found a tab`},
		{"list left open", head + "  needs: [sand\n", `: not YAML: `},
		{"not YAML at the start", "%\n", `f:1: not YAML: `},
		{"not UTF-8", head + "  note: caf\xe9\n", `f:3: the text is not UTF-8`},
		{"UTF-16", "\xff\xfe-\x00 \x00", `f:1: the text is not UTF-8`},
		{"overlong file", "#" + strings.Repeat("x", catalogue.MaxFile), `f:1: the file is larger than 32 MiB`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			list, err := catalogue.ParseFile("f", []byte(tt.text))
			var errs entry.Errors
			if !errors.As(err, &errs) || len(errs) == 0 || list != nil {
				t.Fatalf("got %v, %v; want faults", list, err)
			}
			if !strings.Contains(err.Error(), tt.want) {
				t.Errorf("faults: %s\nwant: %s", err, tt.want)
			}
		})
	}
}

func TestParseFileReportsEveryFaultOfAFile(t *testing.T) {
	_, err := catalogue.ParseFile("species/x.yaml", []byte(`- scientific_name: Parvus rapidus
  guild: gourmet
  traits:
    length: 1 2 3 in memory
- family: Parvidae
- scientific_name: Parvus celer
  zones: 1 0 0
`))
	want := []entry.LineError{
		{File: "species/x.yaml", Line: 2, Species: "Parvus rapidus", Field: "guild", Detail: ""},
		{File: "species/x.yaml", Line: 4, Species: "Parvus rapidus", Field: "trait length", Detail: `unit "in" is not cm`},
		{File: "species/x.yaml", Line: 5, Species: "", Field: "scientific_name", Detail: "the block has no scientific name"},
		{File: "species/x.yaml", Line: 7, Species: "Parvus celer", Field: "zones", Detail: "must be `surface middle bottom basis`, has 3 parts"},
	}
	var errs entry.Errors
	if !errors.As(err, &errs) || len(errs) != len(want) {
		t.Fatalf("got %v, want %d faults", err, len(want))
	}
	for i, w := range want {
		got := errs[i]
		if w.Detail == "" {
			w.Detail = got.Detail
		}
		if got != w {
			t.Errorf("fault %d = %+v, want %+v", i, got, w)
		}
	}
}

func TestWordsAndSourcesNameTheLineOfEachFault(t *testing.T) {
	for _, tt := range []struct{ name, file, text, want string }{
		{"word twice", "words.yaml", "a: [x-y]\na: [x-z]\n", `words.yaml:2: the key "a" stands twice`},
		{"word without candidates", "words.yaml", "a: []\n", `words.yaml:1: a: the list is empty`},
		{"candidate that is a name", "words.yaml", "a: [Parvus rapidus]\n", `words.yaml:1: a: "Parvus rapidus" is not an id`},
		{"candidate twice", "words.yaml", "a: [x-y, x-y]\n", `words.yaml:1: a: "x-y" is listed twice`},
		{"words as a list", "words.yaml", "- a\n", `words.yaml:1: must be a mapping of keys`},
		{"source key with a blank", "sources.yaml", "\na b: c\n", `sources.yaml:2: a b: a key is made of letters`},
		{"source without a citation", "sources.yaml", "a:\n", `sources.yaml:1: a: the value is empty`},
		{"source twice", "sources.yaml", "a: b\na: c\n", `sources.yaml:2: the key "a" stands twice`},
		{"broken sources", "sources.yaml", "a: [\n", `not YAML`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := catalogue.Parse(cataloguetest.Folder("species/a.yaml", head, tt.file, tt.text))
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error %v, want %s", err, tt.want)
			}
		})
	}
}
