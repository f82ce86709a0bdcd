package pages

import (
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

type reasonPage struct {
	Heading, Text, Code, Lead string
	Groups                    []linkGroup
}

type linkGroup struct {
	Label string
	Links []link
}

// reasons lists every code.
func (q *request) reasons() *reply {
	title := q.words.Say("reason.index")
	return q.page("reason", frame{Title: title, Path: "/reasons", Body: reasonPage{Heading: title, Lead: q.words.Say("reason.index.lead"), Groups: q.reasonGroups()}})
}

// reason explains one code.
func (q *request) reason() *reply {
	code := strings.ToLower(q.value("code"))
	if !q.words.Has("reason." + code + ".text") {
		return q.page("reason", frame{Title: q.words.Say("reason.index"), NoIndex: true,
			Body: reasonPage{Heading: q.words.Say("reason.index"), Lead: q.words.Say("reason.unknown"), Groups: q.reasonGroups()}}).with(404)
	}
	title := q.words.Say("reason." + code)
	text := q.words.Say("reason." + code + ".text")
	heading := q.words.Say("reason.title", "title", title)
	return q.page("reason", frame{Title: heading, Description: text, Path: "/reasons/" + code,
		Body: reasonPage{Heading: title, Text: text, Code: code, Groups: []linkGroup{{q.words.Say("reason.index"), []link{{"/reasons", q.words.Say("reason.index")}}}}}})
}

// reasonGroups are the codes in the groups that answers use them in.
func (q *request) reasonGroups() []linkGroup {
	group := func(key string, codes []string) linkGroup {
		g := linkGroup{Label: q.words.Say(key)}
		for _, c := range codes {
			g.Links = append(g.Links, link{"/reasons/" + c, q.words.SayOr("reason."+c, c)})
		}
		return g
	}
	var mainReasons, factors []string
	for r := range conflict.Reason(conflict.NumReasons) {
		mainReasons = append(mainReasons, r.String())
	}
	for f := range conflict.Factor(conflict.NumFactors) {
		factors = append(factors, f.String())
	}
	return []linkGroup{group("reason.group.main", mainReasons), group("reason.group.factor", factors),
		group("reason.group.finding", findingCodes), group("reason.group.caution", cautionCodes)}
}

// findingCodes are the codes of findings, in the order in which a list is looked at.
var findingCodes = []string{"no_shared_water", "reading_outside_tolerated", "reading_outside_preferred", "swung_outside_tolerated", "water_swings",
	"tank_too_short", "footprint_too_small", "tank_too_low", "footprint_unknown", "volume_unknown", "load_heavy", "load_too_heavy", "no_water_change",
	"nitrate_high", "filter_immature", "oxygen_thin", "turnover_low", "heavy_tank", "group_too_small", "group_below_customary", "solitary_in_numbers",
	"sex_ratio", "sexes_wrong", "sex_not_told_in_trade", "hybrids", "ground_crowded", "zone_crowded", "tank_crowded", "lid_needed", "flow_too_strong",
	"flow_too_weak", "cover_thin", "sand_needed", "land_needed", "salt_needed", "mature_tank_needed", "longer_than_recorded", "age_contradicts_length", "plants_eaten", "long_commitment", "fry_expected", "law_forbids", "law_permit", "law_unchecked", "dangerous_without_tank", "giant_without_tank", "tank_unknown",
	"name_not_found", "water_differs", "feeding_clash", "too_little_room", "meant_to_be_eaten",
	"later_conflict", "later_own_kind_conflict", "grown_conflict", "grown_own_kind_conflict", "young_conflict", "young_own_kind_conflict",
	"not_a_fish_plant", "not_a_fish_hardscape", "not_a_fish_food", "not_a_fish_medicine", "not_a_fish_equipment", "not_a_fish_frog", "not_a_fish_salamander",
	"not_a_fish_turtle", "not_a_fish_marine", "not_a_fish_insect", "not_a_fish_reptile"}

// cautionCodes are the codes of cautions, the gravest first.
var cautionCodes = []string{string(species.Venomous), string(species.Electric), string(species.Bites), string(species.Poisonous), string(species.SharpSpines),
	string(species.Regulated), string(species.Invasive), string(conflict.Choking), string(species.Tankbuster), string(species.WildCaught),
	string(species.HardToFeed), string(species.ShortLived), string(species.NeedsAirGap), string(species.SaltOverTime), string(conflict.HeavyTank), string(conflict.Guidance)}
