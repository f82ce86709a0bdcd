package verify_test

import (
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/species/synthetic"
)

// typically sets the whole band of a trait to one number.
func typically(t species.Trait, x float64) func(*species.Species) { return set(t, x, x, x) }

// all applies changes one after the other.
func all(changes ...func(*species.Species)) func(*species.Species) {
	return func(s *species.Species) {
		for _, change := range changes {
			change(s)
		}
	}
}

func needs(words ...string) func(*species.Species) {
	return func(s *species.Species) { s.Needs = words }
}

func caution(c species.Caution) func(*species.Species) {
	return func(s *species.Species) { s.Cautions = append(s.Cautions, c) }
}

func inWater(p species.Parameter, low, preferredLow, preferredHigh, high float64) func(*species.Species) {
	return func(s *species.Species) { s.Water[p] = cataloguetest.Waters(low, preferredLow, preferredHigh, high) }
}

func TestVerifyChecksTheMouthAndTheDiet(t *testing.T) {
	run(t, []change{
		{"mouth for paper", shoaler, typically(species.Gape, 0.01), review, "trait gape", "make prey of the shape"},
		{"mouth wider than the body", lurker, typically(species.DepthRatio, 0.1), review, "trait gape", "wider than its own body"},
		{"hunter of plants", lurker, typically(species.AnimalFood, 0.3), review, "trait animal_food", "0.3 does not go with piscivore"},
		{"grazer on meat", plateback, typically(species.AnimalFood, 0.8), review, "trait animal_food", "0.8 does not go with algae_grazer"},
		{"piscivore that leaves fish alone", lurker, typically(species.Piscivory, 0.3), review, "trait piscivory", "does not go with piscivore"},
		{"grazer on fish", plateback, typically(species.Piscivory, 0.6), review, "trait piscivory", "does not go with algae_grazer"},
		{"herbivore that spares plants", plateback, func(s *species.Species) { s.Guild = species.Herbivore }, review, "trait plant_eating", "little for a herbivore"},
		{"dies half grown", warden, func(s *species.Species) {
			s.Traits[species.Lifespan], s.Traits[species.GrowthK], s.Traits[species.Maturity] = cataloguetest.Value(2, 2, 2), cataloguetest.Value(1, 1, 1), cataloguetest.Value(12, 12, 12)
		}, review, "trait lifespan", "it takes 3 to grow up"},
		{"breeds as a fry", shoaler, typically(species.Maturity, 0.5), review, "trait maturity", "of its final length"},
	})
}

func TestVerifyChecksBehaviourAgainstItself(t *testing.T) {
	run(t, []change{
		{"milder to its own kind", shoaler, all(typically(species.AggressionOthers, 0.5), typically(species.Timidity, 0.1)), review, "trait aggression_own", "milder to its own kind"},
		{"fiercer to look-alikes", shoaler, typically(species.AggressionAlike, 0.6), review, "trait aggression_alike", "fiercer to look-alikes"},
		{"cowed bully", warden, all(typically(species.Timidity, 0.8), typically(species.AggressionOthers, 0.5)), review, "trait timidity", "not both cowed and a bully"},
		{"ground without a guard", plateback, all(typically(species.Territory, 25), typically(species.AggressionOwn, 0), typically(species.AggressionOthers, 0),
			typically(species.AggressionAlike, 0), typically(species.BroodGuarding, 0)), review, "trait territory", "presses nobody"},
		{"mild tiger of a parent", shoaler, typically(species.BroodGuarding, 0.9), review, "trait brood_guarding", "presses others too"},
		{"slow and busy", finback, all(typically(species.Slowness, 0.8), typically(species.Activity, 0.75)), review, "trait activity", "not always on the move"},
		{"slow and greedy", finback, all(typically(species.Slowness, 0.8), typically(species.Activity, 0.5), typically(species.FeedingPace, 0.8)),
			review, "trait feeding_pace", "does not storm its food"},
		{"busy and picky", shoaler, all(typically(species.Activity, 0.75), typically(species.FeedingPace, 0.2)), review, "trait feeding_pace", "does not pick at its food"},
		{"a ratio of hermits", hermit, all(typically(species.FemalesPerMale, 2), func(s *species.Species) { s.SexedTrade = true }),
			review, "trait females_per_male", "does not share its tank"},
		{"a ratio of what nobody tells apart", shoaler, typically(species.FemalesPerMale, 2), review, "trait females_per_male", "nothing tells the sexes apart"},
		{"a harem without a ratio", finback, func(s *species.Species) { s.Traits[species.FemalesPerMale] = species.Value{} }, review, "trait females_per_male", "missing for a harem"},
		{"a sex sold that nobody tells", shoaler, func(s *species.Species) { s.SoldAs = species.Male }, review, "sold_as", "not told apart"},
		{"females with the veils", finback, func(s *species.Species) { s.MaleTraits[species.LongFins] = cataloguetest.Value(0, 0, 0.1) }, review, "male long_fins", "males have the longer fins"},
		{"a crowd of two", warden, typically(species.GroupMin, 8), review, "trait group_min", "does not go with pair"},
		{"a harem of one", finback, typically(species.GroupMin, 1), review, "trait group_min", "does not go with harem"},
	})
}

func TestVerifyChecksCautionsAgainstTheNumbers(t *testing.T) {
	run(t, []change{
		{"small and outgrows", shoaler, caution(species.Tankbuster), review, "cautions", "outgrows and a length of"},
		{"huge and no word of it", plateback, all(set(species.Length, 45, 50, 55), set(species.TankLength, 300, 300, 300), set(species.TankWidth, 100, 100, 100)),
			review, "cautions", "no outgrows and a length of 50 cm"},
		{"old and short-lived", warden, all(caution(species.ShortLived), func(s *species.Species) {
			s.Traits[species.Lifespan], s.Traits[species.GrowthK], s.Traits[species.Maturity] = cataloguetest.Value(8, 8, 8), cataloguetest.Value(1, 1, 1), cataloguetest.Value(12, 12, 12)
		}), review, "cautions", "short_lived and a lifespan of 8 years"},
		{"brief and no word of it", shoaler, func(s *species.Species) {
			s.Traits[species.Lifespan], s.Traits[species.GrowthK], s.Traits[species.Maturity] = cataloguetest.Value(1, 1, 1), cataloguetest.Value(6, 6, 6), cataloguetest.Value(2, 2, 2)
		}, review, "cautions", "no short_lived and a lifespan of 1 years"},
		{"spines that are no armour", shoaler, all(caution(species.SharpSpines), typically(species.Armour, 0)), review, "trait armour", "sharp_spines"},
	})
}

func TestVerifyChecksTheTankAgainstTheSize(t *testing.T) {
	length := func(s *species.Species) float64 { return s.Traits[species.Length].Typical }
	tank := func(times, wide float64) func(*species.Species) {
		return func(s *species.Species) {
			typically(species.TankLength, times*length(s))(s)
			typically(species.TankWidth, wide*times*length(s))(s)
		}
	}
	run(t, []change{
		{"room without end", shoaler, tank(40, 0.4), review, "trait tank_length", "is one of the two in inches?"},
		{"a drawer", shoaler, all(set(species.Length, 30, 30, 30), typically(species.Activity, 0.5), tank(3, 0.6)), review, "trait tank_length", "is little for a fish of 30 cm"},
		{"a sprinter in a bath", shoaler, all(set(species.Length, 30, 30, 30), typically(species.Activity, 0.9), tank(3.5, 0.4)), review, "trait tank_length", "always on the move"},
		{"a corridor", shoaler, all(set(species.Length, 12, 12, 12), tank(10, 0.2)), review, "trait tank_width", "is little for a tank length"},
		{"no room to turn", warden, all(set(species.Length, 30, 30, 30), tank(4, 0.26), func(s *species.Species) {
			s.BodyForm = species.Fusiform
			typically(species.DepthRatio, 0.3)(s)
			typically(species.TankWidth, 26.9)(s)
			typically(species.TankLength, 105)(s)
			s.MaleTraits[species.Length], s.FemaleTraits[species.Length] = species.Value{}, species.Value{}
		}), review, "trait tank_width", "to turn around"},
		{"ground beyond the glass", plateback, typically(species.Territory, 290), review, "trait territory", "is more than its tank"},
	})
}

func TestVerifyChecksTheWaterAgainstWhatIsSaid(t *testing.T) {
	run(t, []change{
		{"brackish word, fresh water", shoaler, all(caution(species.SaltOverTime), inWater(species.Salinity, 0, 0, 0.5, 1)), fault, "water salinity", "tolerates 1 ppt at most"},
		{"brackish word, fresh taste", shoaler, all(caution(species.SaltOverTime), inWater(species.Salinity, 0, 0, 0.5, 5)), review, "water salinity", "prefers up to 0.5 ppt"},
		{"salt and no word of it", shoaler, all(inWater(species.Salinity, 1, 3, 8, 15), func(s *species.Species) { s.Cautions = nil }), review, "water salinity", "needs_brackish is not among"},
		{"acid up to hard", shoaler, all(inWater(species.PH, 4, 5, 6.5, 7), inWater(species.Hardness, 0, 1, 18, 25)), review, "water gh", "as hard as 18"},
		{"alkaline from soft", shoaler, all(inWater(species.PH, 7, 7.6, 8.5, 9), inWater(species.Hardness, 0, 1, 18, 25)), review, "water gh", "as soft as 1"},
		{"heated and unheated", shoaler, needs("heater", "unheated"), fault, "needs", "exclude each other"},
		{"warm without a heater", shoaler, all(needs("unheated"), inWater(species.Temperature, 22, 25, 28, 30)), review, "needs", "unheated, but it prefers 25 °C"},
		{"cool with a heater", shoaler, all(needs("heater"), inWater(species.Temperature, 5, 10, 18, 22)), review, "needs", "heater, but it prefers 18 °C at most"},
		{"at home everywhere", shoaler, inWater(species.Temperature, 1, 10, 30, 39), review, "water temperature", "a span of 38 °C"},
		{"still and strong", shoaler, needs("still_water", "strong_current"), fault, "needs", "exclude each other"},
		{"a torrent for still water", shoaler, all(needs("still_water"), typically(species.Flow, 0.9)), review, "trait flow", "does not go with the current"},
		{"eats what it needs", shoaler, all(needs("plants"), typically(species.PlantEating, 0.9)), review, "trait plant_eating", "needs plants"},
		{"feeds elsewhere", shoaler, func(s *species.Species) {
			s.Zones.Share, s.FeedingZones.Share = [3]float64{0, 0.3, 0.7}, [3]float64{0.4, 0.6, 0}
		}, review, "feeding_zones", "30 % of its feeding"},
	})
}

func TestVerifyChecksTheNamesOfAnEntry(t *testing.T) {
	run(t, []change{
		{"synonym of itself", shoaler, func(s *species.Species) { s.Synonyms = []string{s.ScientificName} }, fault, "synonyms", "is its accepted name"},
		{"note that computes", shoaler, func(s *species.Species) { s.Note = "=1+1" }, fault, "note", "begins as a formula"},
		{"name that computes", shoaler, func(s *species.Species) {
			s.Names = append(s.Names, species.Name{Language: "fr", Text: "@SUM(A1)"})
		}, fault, "names fr", "begins as a formula"},
		{"name in two cases", shoaler, func(s *species.Species) {
			s.Names = append(s.Names, species.Name{Language: "en", Text: strings.ToUpper(s.Names[0].Text)})
		}, review, "names en", "is the same name as"},
	})
}

func TestVerifyRefusesCirclesOfNames(t *testing.T) {
	t.Run("each a synonym of the other", func(t *testing.T) {
		c := synthetic.Catalogue(1, 7)
		a, b := c.Species[0], c.Species[1]
		a.Synonyms, b.Synonyms = []string{b.ScientificName}, []string{a.ScientificName}
		checkFaultsOf(t, c, "synonyms", a.ID, b.ID)
	})
	t.Run("each a form of the other", func(t *testing.T) {
		c := synthetic.Catalogue(1, 7)
		a, b := c.Species[0], c.Species[1]
		b.ScientificName, a.Form, b.Form = a.ScientificName, "one", "other"
		a.ID, b.ID = species.MakeID(a.ScientificName, "one"), species.MakeID(a.ScientificName, "other")
		a.FormOf, b.FormOf, c.Words = b.ID, a.ID, nil
		checkFaultsOf(t, c, "form_of", a.ID, b.ID)
	})
}

// checkFaultsOf wants an error in the field of each entry.
func checkFaultsOf(t *testing.T, c species.Catalogue, field string, ids ...species.ID) {
	t.Helper()
	found := make(map[species.ID]bool)
	for _, p := range verify.Catalogue(c) {
		found[p.Species] = found[p.Species] || p.Severity == fault && p.Field == field
	}
	for _, id := range ids {
		if !found[id] {
			t.Errorf("no error in %s of %s: %v", field, id, verify.Catalogue(c))
		}
	}
}

func TestVerifyComparesCongeners(t *testing.T) {
	for _, tt := range []struct {
		name          string
		n             int
		change        func(*species.Species)
		field, detail string
	}{
		{"a length in inches", 4, all(set(species.Length, 2, 2.4, 3), typically(species.TankLength, 50)), "trait length", ""},
		{"a bully among the meek", 6, all(typically(species.AggressionOwn, 0.9)), "trait aggression_own", "far from its 5 congeners"},
		{"fast growth", 6, func(s *species.Species) {
			k := 4 * s.Traits[species.GrowthK].Typical
			typically(species.GrowthK, k)(s)
			typically(species.Lifespan, 10/k)(s)
		}, "trait growth_k", "1/year is far from"},
		{"cold water", 6, inWater(species.Temperature, 8, 14, 18, 22), "water temperature", "16 C is far from its 5 congeners"},
		{"acid water", 6, inWater(species.PH, 4, 4.5, 5.5, 6.5), "water ph", "5 pH is far from"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := cataloguetest.Genus(tt.n)
			s := c.Species[1]
			if problems := verify.Catalogue(c); len(problems) > 0 {
				t.Fatalf("before the change: %v", problems)
			}
			if tt.field == "trait length" {
				usual := c.Species[0].Traits[species.Length].Typical
				set(species.Length, usual/2.54, usual/2.54, usual/2.54)(s)
				checkProblem(t, c, s.ID, tt.field, "about 2.54 times too small")
				set(species.Length, usual*2.54, usual*2.54, usual*2.54)(s)
				checkProblem(t, c, s.ID, tt.field, "about 2.54 times too large")
				return
			}
			tt.change(s)
			checkProblem(t, c, s.ID, tt.field, tt.detail)
		})
	}
}

// checkProblem wants a problem to review, others beside it or not, and none about
// another entry.
func checkProblem(t *testing.T, c species.Catalogue, id species.ID, field, detail string) {
	t.Helper()
	found := false
	for _, p := range verify.Catalogue(c) {
		found = found || p.Field == field && p.Severity == review && strings.Contains(p.Detail, detail)
		if p.Species != id {
			t.Errorf("another entry: %v", p)
		}
	}
	if !found {
		t.Errorf("no problem with %s: %s in %v", field, detail, verify.Catalogue(c))
	}
}

func TestATradeFormMayDifferFromItsGenus(t *testing.T) {
	c := cataloguetest.Genus(6)
	s := c.Species[1]
	s.ScientificName, s.Form, s.FormOf = c.Species[0].ScientificName, "veil", c.Species[0].ID
	s.ID = species.MakeID(s.ScientificName, s.Form)
	typically(species.LongFins, 0.95)(s)
	if problems := verify.Catalogue(c); len(problems) > 0 {
		t.Error(problems)
	}
}
