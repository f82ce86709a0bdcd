package species_test

import (
	"errors"
	"strings"
	"testing"

	"commensal/internal/species"
)

// TestOtherAnimalsAreKnownByTheirNames holds names as shops write them, some with slips, against the list.
func TestOtherAnimalsAreKnownByTheirNames(t *testing.T) {
	s := trade(t)
	for label, animal := range map[string]string{
		"axolotl": "axolotl", "Axolotls": "axolotl", "Ambystoma mexicanum": "axolotl", "ウーパールーパー": "axolotl", "六角恐龙": "axolotl", "ajolote": "axolotl", "leucistic axolotl": "axolotl",
		"axolotyl": "axolotl", "axalotl": "axolotl", "albino axolotel 8cm": "axolotl", "Axolotyl leucistic": "axolotl", "aksolotl": "axolotl",
		"African dwarf frogs": "African dwarf frog", "3x ADF": "African dwarf frog", "hymenochirus boettgeri": "African dwarf frog", "Zwergkrallenfrösche": "African dwarf frog",
		"african dwraf frog": "African dwarf frog", "zwergkralenfrosch": "African dwarf frog", "コンゴツメガエル": "African dwarf frog",
		"albino clawed frog": "African clawed frog", "Xenopus laevis": "African clawed frog", "Krallenfrosch": "African clawed frog", "xénope": "African clawed frog",
		"Fire-bellied newt": "fire-bellied newt", "firebely newt": "fire-bellied newt", "cynops orientalis": "fire-bellied newt", "triton à ventre de feu": "fire-bellied newt", "アカハライモリ": "fire-bellied newt",
		"fire bellied toads": "fire-bellied toad", "Rotbauchunke": "fire-bellied toad",
		"red-eared slider": "turtle", "red eared slidder": "turtle", "turtel": "turtle", "musk turtles": "turtle", "Schmuckschildkröte": "turtle", "tortue de Floride": "turtle", "巴西龟": "turtle",
		"frog": "frog", "newt": "newt or salamander", "salamandar": "newt or salamander", "seahorse": "animal of the sea",
	} {
		l, err := s.ReadLabel(label)
		if err != nil || l.Other == nil || l.Other.Animal == nil || l.Other.Animal.Name != animal || len(l.Meanings) > 0 {
			t.Errorf("%q: %+v %+v (%v)", label, l, l.Other, err)
			continue
		}
		_, err = s.Resolve(label)
		var unknown *species.UnknownNameError
		if !errors.As(err, &unknown) || unknown.Other == nil || unknown.Other.Animal != l.Other.Animal || len(unknown.Near) > 0 {
			t.Errorf("%q resolves to %v", label, err)
		}
	}
}

// TestASlipMakesNoFishAnAnimalOfTheList spells every name of the catalogue wrongly in turn: what may be a fish is not made
// another animal, and neither are words that are near a short name of the list.
func TestASlipMakesNoFishAnAnimalOfTheList(t *testing.T) {
	s := trade(t)
	for i := range s.Len() {
		for _, n := range s.At(i).Names {
			for _, wrong := range []string{n.Text, n.Text[:len(n.Text)/2] + "x" + n.Text[len(n.Text)/2:], strings.Replace(n.Text, "e", "", 1)} {
				if l, _, err := s.Recognise(wrong); err == nil && l.Other != nil && l.Other.Misspelt {
					t.Errorf("%q, near %q, is taken for %q", wrong, n.Text, l.Other.Word)
				}
			}
		}
	}
	for _, label := range []string{"newp", "fros", "tod", "neo", "todd", "sirene fish", "slicer 3000", "glowfrog tetra"} {
		if l, _, _ := s.Recognise(label); l.Other != nil && l.Other.Misspelt {
			t.Errorf("%q is taken for %q", label, l.Other.Word)
		}
	}
}
