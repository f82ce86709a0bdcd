package stocking

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

func reading(p species.Parameter, v float64) func(*Tank) {
	return func(t *Tank) { t.Reading[p] = conflict.Reading{Value: v, Known: true} }
}

func trait(t species.Trait, v float64) func(*species.Species) {
	return func(sp *species.Species) { sp.Traits[t] = exactly(v) }
}

func needing(need string) func(*species.Species) {
	return func(sp *species.Species) { sp.Needs = []string{need} }
}

func cover(v float64) func(*Tank) { return func(t *Tank) { t.Cover, t.CoverKnown = v, true } }

func turnover(v float64) func(*Tank) { return func(t *Tank) { t.TurnoverPerHour = v } }

func flag(at func(*Tank) **bool, v *bool) func(*Tank) { return func(t *Tank) { *at(t) = v } }

func yesNo(v bool) *bool { return &v }

func TestReadingsAreExactAtTheEdges(t *testing.T) {
	runFindings(t, []findingCase{
		{ensures: "below the tolerated edge is a stop", lines: one(2), tank: reading(species.Temperature, 19.99), code: OutsideTolerated, want: Stop, remedy: MoveReading},
		{ensures: "the tolerated edge itself is not", lines: one(2), tank: reading(species.Temperature, 20), code: OutsideTolerated, absent: true},
		{ensures: "the tolerated edge is outside the preferred range", lines: one(2), tank: reading(species.Temperature, 20), code: OutsidePreferred, want: Advice, remedy: MoveReading},
		{ensures: "the preferred edge itself is inside", lines: one(2), tank: reading(species.Temperature, 27), code: OutsidePreferred, absent: true},
		{ensures: "a hair beyond the preferred edge is advice", lines: one(2), tank: reading(species.Temperature, 27.01), code: OutsidePreferred, want: Advice, remedy: MoveReading},
		{ensures: "above the tolerated edge is a stop", lines: one(2), tank: reading(species.PH, 9.01), code: OutsideTolerated, want: Stop, remedy: MoveReading},
		{ensures: "hardness is judged too", lines: one(2), tank: reading(species.Hardness, 21), code: OutsideTolerated, want: Stop, remedy: MoveReading},
		{ensures: "salinity is judged too", lines: one(2), tank: reading(species.Salinity, 2), code: OutsidePreferred, want: Advice, remedy: MoveReading},
		{ensures: "a range that is not on record is not judged", fish: func(sp *species.Species) { sp.Water[species.PH] = species.WaterRange{} }, lines: one(2), tank: reading(species.PH, 10), code: OutsideTolerated, absent: true},
	})
}

func TestFurnishingAndFlow(t *testing.T) {
	lid := func(t *Tank) **bool { return &t.Lid }
	mature := func(t *Tank) **bool { return &t.FilterMature }
	planted := func(t *Tank) **bool { return &t.Planted }
	runFindings(t, []findingCase{
		{ensures: "a jumper without a lid is advice", fish: trait(species.Jumping, 0.6), lines: one(2), tank: flag(lid, yesNo(false)), code: LidNeeded, want: Advice, remedy: CloseLid},
		{ensures: "a jumper under an unknown lid is a note", fish: trait(species.Jumping, 0.6), lines: one(2), tank: flag(lid, nil), code: LidNeeded, want: Note, remedy: CloseLid},
		{ensures: "a jumper without a tank is a note", fish: trait(species.Jumping, 0.6), lines: one(2), noTank: true, code: LidNeeded, want: Note, remedy: CloseLid},
		{ensures: "a jumper under a lid is fine", fish: trait(species.Jumping, 1), lines: one(2), code: LidNeeded, absent: true},
		{ensures: "a fish that seldom jumps needs no lid", fish: trait(species.Jumping, 0.59), lines: one(2), tank: flag(lid, yesNo(false)), code: LidNeeded, absent: true},
		{ensures: "timid fish in the open is advice", fish: trait(species.Timidity, 0.6), lines: one(2), tank: cover(0.49), code: CoverThin, want: Advice, remedy: MoreCover},
		{ensures: "normal cover exactly is enough", fish: trait(species.Timidity, 0.6), lines: one(2), tank: cover(0.5), code: CoverThin, absent: true},
		{ensures: "unknown cover is not judged", fish: trait(species.Timidity, 0.6), lines: one(2), tank: func(t *Tank) { t.CoverKnown, t.Cover = false, 0 }, code: CoverThin, absent: true},
		{ensures: "a territorial fish with company needs cover", fish: func(sp *species.Species) {
			trait(species.Territory, 20)(sp)
			trait(species.AggressionOthers, 0.3)(sp)
		}, lines: one(2), tank: cover(0.2), code: CoverThin, want: Advice, remedy: MoreCover},
		{ensures: "a territorial fish alone does not", fish: func(sp *species.Species) {
			trait(species.Territory, 20)(sp)
			trait(species.AggressionOthers, 0.3)(sp)
		}, lines: one(1), tank: cover(0.2), code: CoverThin, absent: true},
		{ensures: "gravel for a fish that needs sand is advice", fish: needing("sand"), lines: one(2), tank: func(t *Tank) { t.Substrate = "gravel" }, code: SandNeeded, want: Advice, remedy: LaySand},
		{ensures: "an unknown floor for a fish that needs sand is a note", fish: needing("sand"), lines: one(2), tank: func(t *Tank) { t.Substrate = "" }, code: SandNeeded, want: Note, remedy: LaySand},
		{ensures: "sand is sand", fish: needing("sand"), lines: one(2), code: SandNeeded, absent: true},
		{ensures: "a new tank for a fish that needs an old one is advice", fish: needing("mature_tank"), lines: one(2), tank: flag(mature, yesNo(false)), code: MatureTankNeeded, want: Advice, remedy: MatureFilter},
		{ensures: "a tank of unknown age is a note", fish: needing("mature_tank"), lines: one(2), tank: flag(mature, nil), code: MatureTankNeeded, want: Note, remedy: MatureFilter},
		{ensures: "a mature tank is fine", fish: needing("mature_tank"), lines: one(2), code: MatureTankNeeded, absent: true},
		{ensures: "a plant eater in a planted tank is advice", fish: trait(species.PlantEating, 0.5), lines: one(2), tank: flag(planted, yesNo(true)), code: PlantsEaten, want: Advice, remedy: RemovePlants},
		{ensures: "a nibbler in a planted tank is a note", fish: trait(species.PlantEating, 0.3), lines: one(2), tank: flag(planted, yesNo(true)), code: PlantsEaten, want: Note, remedy: RemovePlants},
		{ensures: "a plant eater without plants is fine", fish: trait(species.PlantEating, 1), lines: one(2), code: PlantsEaten, absent: true},
		{ensures: "a torrent for a fish of still water is advice", fish: trait(species.Flow, 0), lines: one(2), tank: turnover(3.7), code: FlowTooStrong, want: Advice, remedy: MoveTurnover},
		{ensures: "a gentle filter is not", fish: trait(species.Flow, 0), lines: one(2), tank: turnover(3.6), code: FlowTooStrong, absent: true},
		{ensures: "still water for a fish of torrents is advice", fish: trait(species.Flow, 1), lines: one(2), tank: turnover(8.3), code: FlowTooWeak, want: Advice, remedy: MoveTurnover},
		{ensures: "strong flow for it is fine", fish: trait(species.Flow, 1), lines: one(2), tank: turnover(8.5), code: FlowTooWeak, absent: true},
		{ensures: "a weak filter is advice", lines: one(2), tank: turnover(1.9), code: TurnoverLow, want: Advice, remedy: MoveTurnover},
		{ensures: "the least turnover exactly is enough", lines: one(2), tank: turnover(2), code: TurnoverLow, absent: true},
	})
}

func TestLengthsAgesAndLives(t *testing.T) {
	length := func(cm, months float64) []Line { return []Line{{Count: 2, LengthCM: cm, AgeMonth: months}} }
	runFindings(t, []findingCase{
		{ensures: "a length above the record is advice with the record", lines: length(6.1, 0), code: LongerThanRecorded, want: Advice, remedy: CorrectLength},
		{ensures: "the record length itself is believed", lines: length(6, 0), code: LongerThanRecorded, absent: true},
		{ensures: "a full-grown fish of a month contradicts its age", lines: length(5, 1), code: AgeAgainstLength, want: Advice},
		{ensures: "a tiny fish of four years contradicts its age", lines: length(1.5, 48), code: AgeAgainstLength, want: Advice},
		{ensures: "a fish of the expected length does not", lines: length(3, 6), code: AgeAgainstLength, absent: true},
		{ensures: "a hatchling does not", lines: length(1, 0.5), code: AgeAgainstLength, absent: true},
		{ensures: "a life of ten years is said aloud", fish: trait(species.Lifespan, 10), lines: one(2), code: LongCommitment, want: Note},
		{ensures: "a shorter one is not", fish: trait(species.Lifespan, 9.9), lines: one(2), code: LongCommitment, absent: true},
	})
}
