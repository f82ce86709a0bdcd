package lawtext_test

import (
	"errors"
	"strings"
	"testing"
	"testing/fstest"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/lawtext"
	"commensal/internal/species/law"
)

func builtIn(t *testing.T) ([]law.Rule, *species.Snapshot) {
	t.Helper()
	c, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	rules, err := lawtext.Read(db.CatalogueFS(), c.Species)
	if err != nil {
		t.Fatal(err)
	}
	s, err := species.NewSnapshot(0, c)
	if err != nil {
		t.Fatal(err)
	}
	return rules, s
}

func TestEveryRegionHasARule(t *testing.T) {
	rules, _ := builtIn(t)
	for _, region := range law.Regions {
		own := 0
		for i := range rules {
			if rules[i].Holds(region) && len(rules[i].Regions) == 1 {
				own++
			}
		}
		if own == 0 {
			t.Errorf("%s has no rule of its own", region)
		}
	}
}

// What every shop of the region should know.
func TestKnownRules(t *testing.T) {
	rules, catalogue := builtIn(t)
	for _, tt := range []struct {
		region, kind string
		act          law.Act
		want         law.Degree
	}{
		{"DE", "procambarus-clarkii", law.Sale, law.Forbidden},
		{"EU", "procambarus-virginalis", law.Keeping, law.Forbidden},
		{"EU", "lepomis-gibbosus", law.Sale, law.Forbidden},
		{"EU", "gambusia-affinis", law.Keeping, law.Forbidden},
		{"EU", "channa-argus", law.Import, law.Forbidden},
		{"EU", "channa-gachua", law.Sale, law.Unrestricted},
		{"EU", "pomacea-diffusa", law.Sale, law.Forbidden},
		{"US", "pomacea-diffusa", law.Import, law.Unrestricted},
		{"US", "pomacea-canaliculata", law.Import, law.Permit},
		{"US", "channa-gachua", law.Import, law.Permit},
		{"US", "clarias-batrachus", law.Import, law.Permit},
		{"GB", "cherax-destructor", law.Keeping, law.Permit},
		{"GB", "cherax-quadricarinatus", law.Keeping, law.Unrestricted},
		{"GB", "danio-rerio", law.Release, law.Forbidden},
		{"JP", "procambarus-clarkii", law.Sale, law.Forbidden},
		{"JP", "procambarus-clarkii", law.Keeping, law.Unrestricted},
		{"JP", "lepisosteus-oculatus", law.Keeping, law.Permit},
		{"NZ", "cyprinus-rubrofuscus", law.Sale, law.Forbidden},
		{"CA", "ctenopharyngodon-idella", law.Keeping, law.Forbidden},
		{"AU", "danio-rerio", law.Import, law.Permit},
		{"EU", "danio-rerio", law.Release, law.Unrestricted},
		{"EU", "scleropages-formosus", law.Sale, law.Permit},
	} {
		s, ok := catalogue.ByID(species.ID(tt.kind))
		if !ok {
			t.Errorf("no %s", tt.kind)
			continue
		}
		if got := law.Of(rules, law.PlaceOf(tt.region), s).Acts[tt.act]; got != tt.want {
			t.Errorf("%s of %s in %s is %q, want %q", tt.act, tt.kind, tt.region, got, tt.want)
		}
	}
}

const sound = `- rule: eu-one
  regions: [EU]
  regulation: A Regulation
  number: (EU) 1/2000
  year: 2000
  restricts: {sale: forbidden}
  taxa: [Channa argus]
  known: 2025-08
  basis: source
`

func TestFaultsNameTheirLine(t *testing.T) {
	again := strings.Replace(sound, "eu-one", "eu-two", 1)
	for _, tt := range []struct {
		name, text string
		line       int
		says       string
	}{
		{"not YAML", "- rule: [", 1, "not YAML"},
		{"no list", "rule: x\n", 1, "must be a list"},
		{"unknown key", sound + "  fine: 100\n", 10, "unknown key"},
		{"unknown region", strings.Replace(sound, "EU]", "XX]", 1), 2, "is none of: EU, GB"},
		{"unknown act", strings.Replace(sound, "{sale", "{fishing", 1), 6, "unknown key"},
		{"unknown degree", strings.Replace(sound, "forbidden", "frowned", 1), 6, "is none of"},
		{"no year", strings.Replace(sound, "year: 2000", "year: MM", 1), 5, "is no year"},
		{"bad date", strings.Replace(sound, "2025-08", "autumn", 1), 8, "no year and month"},
		{"bad taxon", strings.Replace(sound, "Channa argus", "channa", 1), 7, "no species, genus or family"},
		{"bad basis", strings.Replace(sound, "basis: source", "basis: hearsay", 1), 9, "neither source nor memory"},
		{"nothing restricted", strings.Replace(sound, "  restricts: {sale: forbidden}\n", "", 1), 1, "missing"},
		{"same id", sound + sound, 10, "stands on line 1"},
		{"contradiction", sound + strings.Replace(again, "forbidden", "allowed", 1), 10, "is allowed here and forbidden in eu-one"},
		{"one regulation, two degrees", sound + strings.Replace(again, "forbidden", "permit", 1), 10, "is permit here and forbidden in eu-one"},
		{"Latin-1", sound + "  note: M\xfcller\n", 10, "not UTF-8"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := lawtext.Parse("law.yaml", []byte(tt.text), nil)
			var errs entry.Errors
			if !errors.As(err, &errs) {
				t.Fatalf("got %v", err)
			}
			if errs[0].Line != tt.line || !strings.Contains(errs[0].Error(), tt.says) {
				t.Errorf("got %v, want line %d with %q", errs[0], tt.line, tt.says)
			}
		})
	}
}

func TestAFolderWithoutLawHasNoRules(t *testing.T) {
	rules, err := lawtext.Read(fstest.MapFS{}, nil)
	if rules != nil || err != nil {
		t.Errorf("got %v, %v", rules, err)
	}
}
