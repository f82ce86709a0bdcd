package verify_test

import (
	"math"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/species/synthetic"
)

// The kinds of synthetic species, by their place.
const (
	shoaler = iota
	nipper
	finback // the sexes differ
	warden
	lurker // lives on fish
	plateback
	hermit // solitary
)

// checkOnly verifies c and wants exactly one problem.
func checkOnly(t *testing.T, c species.Catalogue, want verify.Problem) {
	t.Helper()
	problems := verify.Catalogue(c)
	if len(problems) != 1 {
		t.Fatalf("problems %v, want one: %v", problems, want)
	}
	got := problems[0]
	if got.Severity != want.Severity || got.Species != want.Species || got.Field != want.Field || !strings.Contains(got.Detail, want.Detail) {
		t.Errorf("problem %v, want %v", got, want)
	}
}

type change struct {
	name     string
	place    int
	change   func(*species.Species)
	severity verify.Severity
	field    string
	detail   string
}

// run applies each change to a catalogue without problems.
func run(t *testing.T, changes []change) {
	for _, tt := range changes {
		t.Run(tt.name, func(t *testing.T) {
			c := synthetic.Catalogue(1, 7)
			s := c.Species[tt.place]
			tt.change(s)
			checkOnly(t, c, verify.Problem{Severity: tt.severity, Species: s.ID, Field: tt.field, Detail: tt.detail})
		})
	}
}

const (
	fault  = verify.SeverityError
	review = verify.SeverityReview
)

func set(t species.Trait, low, typical, high float64) func(*species.Species) {
	return func(s *species.Species) { s.Traits[t] = cataloguetest.Value(low, typical, high) }
}

func TestVerifyChecksEachValue(t *testing.T) {
	run(t, []change{
		{"below the range", 0, set(species.Territory, -1, 0, 0), fault, "trait territory", "must lie within 0 and 300"},
		{"above the range", 0, set(species.Timidity, 0.5, 0.6, 1.1), fault, "trait timidity", "must lie within 0 and 1"},
		{"low above typical", 0, set(species.Timidity, 0.7, 0.6, 0.8), fault, "trait timidity", "must not fall"},
		{"typical above high", 0, set(species.Timidity, 0.1, 0.6, 0.5), fault, "trait timidity", "must not fall"},
		{"not a number", 0, set(species.Timidity, 0.1, 0.2, math.NaN()), fault, "trait timidity", "NaN grade"},
		{"required and missing", 0, func(s *species.Species) { s.Traits[species.Flow] = species.Value{} }, fault, "trait flow", "missing"},
		{"half a fish", 0, set(species.GroupMin, 5, 6.5, 8), fault, "trait group_min", "whole number"},
		{"no basis", 0, func(s *species.Species) { s.Basis = "" }, fault, "basis", "missing"},
		{"malformed basis", 0, func(s *species.Species) { s.Traits[species.Flow].Basis = "x" }, fault, "trait flow", `basis "x" is neither`},
		{"unknown source", 0, func(s *species.Species) { s.Water[species.PH].Basis = "source:x" }, fault, "water ph", `source "x" is not in the list`},
		{"sex of a trait that has none", finback, func(s *species.Species) { s.MaleTraits[species.Flow] = cataloguetest.Value(0, 0, 0) }, fault, "male flow", "do not differ"},
		{"value of one sex out of range", finback, func(s *species.Species) { s.MaleTraits[species.LongFins] = cataloguetest.Value(0, 2, 3) }, fault, "male long_fins", "within 0 and 1"},
		{"no water", 0, func(s *species.Species) { s.Water[species.Hardness] = species.WaterRange{} }, fault, "water gh", "missing"},
		{"preferred outside tolerated", 0, func(s *species.Species) { s.Water[species.PH].Preferred.High = 10 }, fault, "water ph", "must lie inside tolerated"},
		{"water out of range", 0, func(s *species.Species) { s.Water[species.Temperature].Tolerated.High = 75 }, fault, "water temperature", "within 0 and 40"},
		{"no zones", 0, func(s *species.Species) { s.Zones = species.ZoneUse{} }, fault, "zones", "missing"},
		{"no feeding zones", 0, func(s *species.Species) { s.FeedingZones = species.ZoneUse{} }, review, "feeding_zones", "missing"},
		{"zones that sum to less", 0, func(s *species.Species) { s.Zones.Share = [3]float64{0.5, 0.3, 0.1} }, fault, "zones", "sum to 0.9"},
		{"negative share", 0, func(s *species.Species) { s.Zones.Share = [3]float64{0.7, 0.4, -0.1} }, fault, "zones", "share -0.1"},
	})
}

func TestVerifyAcceptsSharesThatSumToOneButForRounding(t *testing.T) {
	c := synthetic.Catalogue(1, 1)
	c.Species[0].Zones.Share = [3]float64{0.1, 0.2, 0.7} // 0.1 + 0.2 + 0.7 < 1 in binary
	if problems := verify.Catalogue(c); len(problems) > 0 {
		t.Error(problems)
	}
}

func TestVerifyChecksTheWordsOfAnEntry(t *testing.T) {
	run(t, []change{
		{"id of another name", 0, func(s *species.Species) { s.ID = "parvus-celer" }, fault, "id", "the id of this name is"},
		{"no family", 0, func(s *species.Species) { s.Family = "" }, fault, "family", "missing"},
		{"family with another ending", 0, func(s *species.Species) { s.Family = "Cichlinae" }, fault, "family", "-idae"},
		{"no English name", 0, func(s *species.Species) { s.Names = s.Names[1:] }, review, "names en", "no English name"},
		{"bad language", 0, func(s *species.Species) { s.Names[1].Language = "Deutsch" }, fault, "names", "not a language tag"},
		{"no guild", 0, func(s *species.Species) { s.Guild = "" }, fault, "guild", "missing"},
		{"unknown guild", 0, func(s *species.Species) { s.Guild = "x" }, fault, "guild", "none of"},
		{"no body form", 0, func(s *species.Species) { s.BodyForm = "" }, fault, "body_form", "missing"},
		{"no social", 0, func(s *species.Species) { s.Social = "" }, fault, "social", "missing"},
		{"no shape", 0, func(s *species.Species) { s.Shape = "" }, review, "shape", "missing"},
		{"unknown shape", 0, func(s *species.Species) { s.Shape = "x" }, fault, "shape", "none of"},
		{"no colours", 0, func(s *species.Species) { s.Colours = nil }, review, "colours", "missing"},
		{"unknown colour", 0, func(s *species.Species) { s.Colours = []string{"red", "x"} }, fault, "colours", "none of"},
		{"unknown need", 0, func(s *species.Species) { s.Needs = []string{"x"} }, fault, "needs", "none of"},
		{"unknown caution", 0, func(s *species.Species) { s.Cautions = []species.Caution{"x"} }, fault, "cautions", "none of"},
		{"hybrid that is no name", 0, func(s *species.Species) { s.Hybridises = []string{"Parvus", "all barbs"} }, fault, "hybridises", `"all barbs"`},
		{"synonym that is no name", 0, func(s *species.Species) { s.Synonyms = []string{"Parvus sp. 2", "Parvus"} }, review, "synonyms", `"Parvus"`},
	})
}

func feedsBy(way species.Feeding) func(*species.Species) {
	return func(s *species.Species) { s.FeedsBy = way }
}

func TestVerifyChecksTheHabits(t *testing.T) {
	run(t, []change{
		{"a way of feeding nobody knows", shoaler, feedsBy("nibble"), fault, "feeds_by", `"nibble" is none of: graze_algae, rasp_wood`},
		{"hours nobody knows", shoaler, func(s *species.Species) { s.Active = "noon" }, fault, "active", "none of: day, twilight, night, any"},
		{"an availability nobody knows", shoaler, func(s *species.Species) { s.Available = "sold out" }, fault, "availability", "none of: every_shop"},
		{"an ambush that spares fish", shoaler, all(feedsBy(species.AmbushPrey), typically(species.AnimalFood, 0.9)), review, "feeds_by", "is little for a fish that feeds by ambush"},
		{"a grazer of fish", warden, all(feedsBy(species.GrazeAlgae), typically(species.Piscivory, 0.6), typically(species.AnimalFood, 0.55)), review, "feeds_by", "is much for one that feeds by graze_algae"},
		{"a grazer of meat", shoaler, all(feedsBy(species.CombDetritus), typically(species.AnimalFood, 0.9)), review, "feeds_by", "animal food of 0.9 is much"},
		{"a cracker of plants", shoaler, all(feedsBy(species.CrushShells), typically(species.AnimalFood, 0.3)), review, "feeds_by", "animal food of 0.3 is little"},
		{"a filter that is no filterer", plateback, all(feedsBy(species.FilterWater), typically(species.AnimalFood, 0.2)), review, "feeds_by", "filter does not go with algae_grazer"},
		{"a filterer that picks", shoaler, all(feedsBy(species.PickAtFood), func(s *species.Species) { s.Guild = species.FilterFeeder }), review, "feeds_by", "pick does not go with filter_feeder"},
		{"the surface from below", shoaler, all(feedsBy(species.PickSurface), func(s *species.Species) { s.FeedingZones.Share = [3]float64{0.2, 0.6, 0.2} }), review, "feeds_by", "20 % of its feeding at the surface"},
		{"sand in open water", shoaler, all(feedsBy(species.SiftGround), func(s *species.Species) { s.FeedingZones.Share = [3]float64{0.2, 0.6, 0.2} }), review, "feeds_by", "20 % of its feeding at the bottom"},
	})
}

func TestHabitsThatNobodyKnowsAskForNothing(t *testing.T) {
	c := synthetic.Catalogue(1, 8)
	for _, s := range c.Species {
		s.FeedsBy, s.Active, s.Available = "", "", ""
	}
	if problems := verify.Catalogue(c); len(problems) > 0 {
		t.Error(problems)
	}
}

func TestVerifyChecksValuesAgainstEachOther(t *testing.T) {
	length := func(s *species.Species) float64 { return s.Traits[species.Length].Typical }
	run(t, []change{
		{"deep eel", shoaler, func(s *species.Species) { s.BodyForm = species.EelLike }, review, "trait depth_ratio", "unusual for eel_like"},
		{"slim disc", plateback, func(s *species.Species) { s.BodyForm = species.ShortDeep }, review, "trait depth_ratio", "unusual for short_deep"},
		{"length of every size", shoaler, set(species.Length, 2, 4, 6), fault, "trait length", "3 times the lowest"},
		{"sexes that average elsewhere", finback, func(s *species.Species) {
			s.MaleTraits[species.Length] = cataloguetest.Value(2*length(s), 2*length(s), 2*length(s))
		}, review, "trait length", "the mean of the sexes"},
		{"grown after its death", shoaler, set(species.GrowthK, 0.1, 0.1, 0.1), fault, "trait lifespan", "to grow up"},
		{"grown in a week", shoaler, func(s *species.Species) {
			s.Traits[species.GrowthK] = cataloguetest.Value(10, 10, 10)
			s.Traits[species.Lifespan] = cataloguetest.Value(8, 8, 8)
		}, review, "trait lifespan", "it is grown after 0.3"},
		{"breeds after its death", shoaler, set(species.Maturity, 200, 200, 200), fault, "trait maturity", "later than the lifespan"},
		{"breeds late", shoaler, func(s *species.Species) {
			m := 12 * 0.7 * s.Traits[species.Lifespan].Typical
			s.Traits[species.Maturity] = cataloguetest.Value(m, m, m)
		}, review, "trait maturity", "late in a lifespan"},
		{"small mouth of a hunter", lurker, set(species.PreyLimit, 0.1, 0.2, 0.3), review, "trait prey_limit", "small for piscivory"},
		{"large mouth of a grazer", plateback, set(species.PreyLimit, 0.1, 0.25, 0.3), review, "trait prey_limit", "large for algae_grazer"},
		{"tank wider than long", shoaler, set(species.TankWidth, 100, 100, 100), fault, "trait tank_width", "more than the tank length"},
		{"tank too short for any fish", plateback, func(s *species.Species) {
			s.Traits[species.TankLength] = cataloguetest.Value(1.4*length(s), 1.4*length(s), 1.4*length(s))
			s.Traits[species.TankWidth], s.Traits[species.Territory] = cataloguetest.Value(10, 10, 10), cataloguetest.Value(0, 0, 0)
		}, fault, "trait tank_length", "1.4 times"},
		{"tank short for a swimmer", warden, func(s *species.Species) {
			s.Traits[species.TankLength] = cataloguetest.Value(1.8*length(s), 1.8*length(s), 1.8*length(s))
			s.Traits[species.TankWidth], s.Traits[species.Territory] = cataloguetest.Value(length(s), length(s), length(s)), cataloguetest.Value(0, 0, 0)
		}, review, "trait tank_length", "1.8 times"},
		{"a shoal of two", shoaler, set(species.GroupMin, 1, 2, 6), fault, "trait group_min", "2 is no group"},
		{"a company of hermits", hermit, set(species.GroupMin, 1, 3, 6), fault, "trait group_min", "does not share"},
		{"a shoal with borders", shoaler, set(species.Territory, 20, 25, 30), review, "trait territory", "lives in a group"},
		{"feeds far above", shoaler, func(s *species.Species) {
			s.FeedingZones.Share, s.Zones.Share = [3]float64{0.7, 0.3, 0}, [3]float64{0, 0.4, 0.6}
		}, review, "zones", "feeds at the surface"},
		{"feeds far below", shoaler, func(s *species.Species) {
			s.FeedingZones.Share, s.Zones.Share = [3]float64{0, 0.3, 0.7}, [3]float64{0.6, 0.4, 0}
		}, review, "zones", "feeds at the bottom"},
		{"acid and hard", shoaler, func(s *species.Species) {
			s.Water[species.PH], s.Water[species.Hardness] = cataloguetest.Waters(5, 5.5, 6.5, 7), cataloguetest.Waters(8, 12, 20, 25)
		}, review, "water gh", "hard water from 12"},
		{"alkaline and soft", shoaler, func(s *species.Species) {
			s.Water[species.PH], s.Water[species.Hardness] = cataloguetest.Waters(7, 8, 8.5, 9), cataloguetest.Waters(0, 1, 4, 5)
		}, review, "water gh", "soft water up to 4"},
	})
}

func TestVerifyComparesTheSexSoldWithTheEntry(t *testing.T) {
	c := synthetic.Catalogue(1, 7)
	s := c.Species[finback]
	s.SoldAs = species.Male
	s.Traits[species.Length] = s.MaleTraits[species.Length]
	s.FemaleTraits[species.Length] = cataloguetest.Value(1, 1, 1)
	if problems := verify.Catalogue(c); len(problems) > 0 {
		t.Errorf("only males are sold, and the entry has their length: %v", problems)
	}
	s.SoldAs = species.Female
	checkOnly(t, c, verify.Problem{Severity: review, Species: s.ID, Field: "trait length", Detail: "the females sold"})
}
