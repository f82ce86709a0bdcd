package species_test

import (
	"errors"
	"testing"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

// trade is the built-in catalogue, for labels as shops write them.
func trade(t *testing.T) *species.Snapshot {
	t.Helper()
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		t.Fatal(err)
	}
	s, err := species.NewSnapshot(0, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestLabelsAsTypedAtATill(t *testing.T) {
	s := trade(t)
	for label, want := range map[string]struct {
		id     species.ID
		sex    species.Sex
		cm     float64
		number int
		aside  int
	}{
		"moscow guppy":                       {"poecilia-reticulata", species.Unsexed, 0, 0, 1},
		"koi betta":                          {"betta-splendens", species.Unsexed, 0, 0, 1},
		"assorted platy":                     {"xiphophorus-maculatus", species.Unsexed, 0, 0, 1},
		"female betta":                       {"betta-splendens", species.Female, 0, 0, 1},
		"Betta macho":                        {"betta-splendens", species.Male, 0, 0, 1},
		"ベタ オス":                              {"betta-splendens", species.Male, 0, 0, 1},
		"Guppy Männchen":                     {"poecilia-reticulata", species.Male, 0, 0, 1},
		"neon tetra 2-3cm":                   {"paracheirodon-innesi", species.Unsexed, 2.5, 0, 0},
		"large oscar 10-12 cm":               {"astronotus-ocellatus", species.Unsexed, 11, 0, 1},
		"koi 4-6\"":                          {"cyprinus-rubrofuscus", species.Unsexed, 12.7, 0, 0},
		"6x neon tetra":                      {"paracheirodon-innesi", species.Unsexed, 0, 6, 0},
		"L-046":                              {"hypancistrus-zebra", species.Unsexed, 0, 0, 0},
		"electric blue ram":                  {"mikrogeophagus-ramirezi", species.Unsexed, 0, 0, 0},
		"Neon Tetra (Paracheirodon innesi)":  {"paracheirodon-innesi", species.Unsexed, 0, 0, 0},
		"multifasciatus shell dweller":       {"neolamprologus-multifasciatus", species.Unsexed, 0, 0, 0},
		"sterbai":                            {"hoplisoma-sterbai", species.Unsexed, 0, 0, 0},
		"congos":                             {"phenacogrammus-interruptus", species.Unsexed, 0, 0, 0},
		"altum angel":                        {"pterophyllum-altum", species.Unsexed, 0, 0, 0},
		"gold veil angelfish":                {"pterophyllum-scalare-veil", species.Unsexed, 0, 0, 1},
		"veil angel gold":                    {"pterophyllum-scalare-veil", species.Unsexed, 0, 0, 1},
		"pineapple swordtail":                {"xiphophorus-hellerii", species.Unsexed, 0, 0, 1},
		"crevette red cherry":                {"neocaridina-davidi", species.Unsexed, 0, 0, 0},
		"rock shrimp":                        {"atyopsis-moluccensis", species.Unsexed, 0, 0, 0},
		"金魚 オス":                              {"carassius-auratus", species.Male, 0, 0, 1},
		"ブラックテトラ 3cm":                        {"gymnocorymbus-ternetzi", species.Unsexed, 3, 0, 0},
		"ゴールデングッピー オス":                       {"poecilia-reticulata", species.Male, 0, 0, 2},
		"黒出目金":                               {"carassius-auratus-telescope", species.Unsexed, 0, 0, 1},
		"黑裙鱼公":                               {"gymnocorymbus-ternetzi", species.Male, 0, 0, 1},
		"红绿灯鱼大号":                             {"paracheirodon-innesi", species.Unsexed, 0, 0, 1},
		"Kakadu-Zwergbuntbarsch Nachzuchten": {"apistogramma-cacatuoides", species.Unsexed, 0, 0, 1},
		"Néon rouge sauvages":                {"paracheirodon-axelrodi", species.Unsexed, 0, 0, 1},
		"Tetra neón alevines":                {"paracheirodon-innesi", species.Unsexed, 0, 0, 1},
		"Mato-grosso selvagens":              {"hyphessobrycon-eques", species.Unsexed, 0, 0, 1},
	} {
		l, err := s.ReadLabel(label)
		if err != nil || !l.Clear() {
			t.Errorf("%q: %+v (%v)", label, l, err)
			continue
		}
		if m := l.Meanings[0]; m.Species.ID != want.id || l.Sex != want.sex || l.LengthCM != want.cm || l.Count != want.number || len(l.SetAside) != want.aside {
			t.Errorf("%q is %s, %s, %v cm, %d, beside %q", label, m.Species.ID, l.Sex, l.LengthCM, l.Count, l.SetAside)
		}
	}
}

func TestNamesWithSeveralMeaningsGiveThemLikeliestFirst(t *testing.T) {
	s := trade(t)
	for label, first := range map[string]species.ID{
		"nerite": "neritina-natalensis", "bumblebee goby": "brachygobius-xanthozonus", "ramshorns": "planorbella-duryi", "cory cats": "osteogaster-aenea",
		"plec": "ancistrus-cirrhosus", "assorted mbuna": "labidochromis-caeruleus", "Panzerwels": "osteogaster-aenea",
		"Garnele": "neocaridina-davidi", "Caramujo": "neritina-natalensis", "Nez rouge": "petitella-rhodostoma", "虾虎鱼": "brachygobius-xanthozonus",
		"シノドンティス": "synodontis-eupterus", "pez lápiz": "nannostomus-beckfordi",
	} {
		l, err := s.ReadLabel(label)
		if err != nil || l.Clear() || len(l.Meanings) > species.MaxMeanings || l.Meanings[0].Species.ID != first {
			t.Errorf("%q: %+v (%v)", label, l.Meanings, err)
		}
	}
}

func TestOtherGoodsAreKnownForWhatTheyAre(t *testing.T) {
	s := trade(t)
	for label, kind := range map[string]species.GoodKind{
		"java fern": species.GoodPlant, "anubias nana small": species.GoodPlant, "driftwood": species.GoodHardscape, "betta pellets": species.GoodFood,
		"axolotl": species.GoodSalamand, "african dwarf frogs": species.GoodFrog, "red eared slider": species.GoodTurtle, "clownfish": species.GoodMarine,
		"melafix": species.GoodMedicine, "sponge filter": species.GoodEquipment,
	} {
		if l, err := s.ReadLabel(label); err != nil || l.Other == nil || l.Other.Kind != kind {
			t.Errorf("%q: %+v (%v)", label, l, err)
		}
	}
}

func TestAnUnknownLabelNamesFewCandidatesOfItsOwnKingdom(t *testing.T) {
	s := trade(t)
	for label, invertebrate := range map[string]bool{"glowing zzz snail": true, "zzzish tetra of doom": false} {
		_, err := s.ReadLabel(label)
		var unknown *species.UnknownNameError
		if !errors.As(err, &unknown) || len(unknown.Near) > 12 {
			t.Errorf("%q: %v", label, err)
			continue
		}
		for _, c := range unknown.Near {
			if sp, _ := s.ByID(c.ID); sp.BodyForm.Invertebrate() != invertebrate {
				t.Errorf("%q may mean %s", label, c.ID)
			}
		}
	}
	for _, adjective := range []string{"fancy swordtale", "red zzzish", "giant zzzish", "pearl zzzish", "dwarf zzzish"} {
		if l, err := s.ReadLabel(adjective); err == nil {
			t.Errorf("%q is taken for %+v", adjective, l)
		}
	}
	for _, bad := range []string{"", "  ", "\x00", "12 cm"} {
		if l, err := s.ReadLabel(bad); err == nil {
			t.Errorf("%q is %+v", bad, l)
		}
	}
}

func FuzzReadLabel(f *testing.F) {
	for _, seed := range []string{"moscow guppy", "6x neon tetra 2-3cm", "ベタ オス", "L-012", "koi 4-6\"", "a b c d e f g h i j k l m n"} {
		f.Add(seed)
	}
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		f.Fatal(err)
	}
	s, err := species.NewSnapshot(0, c)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, label string) {
		l, err := s.ReadLabel(label)
		switch {
		case err != nil && (len(l.Meanings) > 0 || l.Other != nil):
			t.Fatalf("%q: %+v and %v", label, l, err)
		case err == nil && (len(l.Meanings) == 0) == (l.Other == nil):
			t.Fatalf("%q: %+v", label, l)
		case len(l.Meanings) > species.MaxMeanings || l.LengthCM < 0 || l.Count < 0:
			t.Fatalf("%q: %+v", label, l)
		}
	})
}
