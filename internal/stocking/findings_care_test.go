package stocking_test

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/testfish"
)

func reading(p species.Parameter, v float64) func(*stocking.Tank) {
	return func(t *stocking.Tank) { t.Reading[p] = conflict.Reading{Value: v, Known: true} }
}

func needing(need string) func(*species.Species) {
	return func(sp *species.Species) { sp.Needs = []string{need} }
}

func brackish(sp *species.Species) { sp.Cautions = append(sp.Cautions, species.SaltOverTime) }

// salt is a reading in ppt; below zero there is none.
func salt(v float64) func(*stocking.Tank) {
	return func(t *stocking.Tank) { t.Reading[species.Salinity] = conflict.Reading{Value: v, Known: v >= 0} }
}

func cover(v float64) func(*stocking.Tank) {
	return func(t *stocking.Tank) { t.Cover, t.CoverKnown = v, true }
}

func turnover(v float64) func(*stocking.Tank) {
	return func(t *stocking.Tank) { t.TurnoverPerHour = v }
}

func flag(at func(*stocking.Tank) **bool, v *bool) func(*stocking.Tank) {
	return func(t *stocking.Tank) { *at(t) = v }
}

func yesNo(v bool) *bool { return &v }

func TestReadingsAreExactAtTheEdges(t *testing.T) {
	runFindings(t, []findingCase{
		{ensures: "below the tolerated edge is a stop", lines: one(2), tank: reading(species.Temperature, 19.99), code: stocking.OutsideTolerated, want: stocking.Stop, remedy: stocking.MoveReading},
		{ensures: "the tolerated edge itself is not", lines: one(2), tank: reading(species.Temperature, 20), code: stocking.OutsideTolerated, absent: true},
		{ensures: "the tolerated edge is near the limit: advice", lines: one(2), tank: reading(species.Temperature, 20), code: stocking.OutsidePreferred, want: stocking.Advice, remedy: stocking.MoveReading},
		{ensures: "the preferred edge itself is inside", lines: one(2), tank: reading(species.Temperature, 27), code: stocking.OutsidePreferred, absent: true},
		{ensures: "a little beyond the preferred edge is a note", lines: one(2), tank: reading(species.Temperature, 28), code: stocking.OutsidePreferred, want: stocking.Note, remedy: stocking.MoveReading},
		{ensures: "a hair that no sentence shows is nothing", lines: one(2), tank: reading(species.Temperature, 27.3), code: stocking.OutsidePreferred, absent: true},
		{ensures: "near the limit is advice", lines: one(2), tank: reading(species.Temperature, 29.2), code: stocking.OutsidePreferred, want: stocking.Advice, remedy: stocking.MoveReading},
		{ensures: "above the tolerated edge is a stop", lines: one(2), tank: reading(species.PH, 9.01), code: stocking.OutsideTolerated, want: stocking.Stop, remedy: stocking.MoveReading},
		{ensures: "hardness is judged too", lines: one(2), tank: reading(species.Hardness, 21), code: stocking.OutsideTolerated, want: stocking.Stop, remedy: stocking.MoveReading},
		{ensures: "salinity is judged too", lines: one(2), tank: reading(species.Salinity, 2), code: stocking.OutsidePreferred, want: stocking.Note, remedy: stocking.MoveReading},
		{ensures: "a range that is not on record is not judged", fish: func(sp *species.Species) { sp.Water[species.PH] = species.WaterRange{} }, lines: one(2), tank: reading(species.PH, 10), code: stocking.OutsideTolerated, absent: true},
	})
}

func TestFurnishingAndFlow(t *testing.T) {
	lid := func(t *stocking.Tank) **bool { return &t.Lid }
	mature := func(t *stocking.Tank) **bool { return &t.FilterMature }
	planted := func(t *stocking.Tank) **bool { return &t.Planted }
	runFindings(t, []findingCase{
		{ensures: "a jumper without a lid is advice", fish: testfish.Trait(species.Jumping, 0.6), lines: one(2), tank: flag(lid, yesNo(false)), code: stocking.LidNeeded, want: stocking.Advice, remedy: stocking.CloseLid},
		{ensures: "a jumper under an unknown lid is a note", fish: testfish.Trait(species.Jumping, 0.6), lines: one(2), tank: flag(lid, nil), code: stocking.LidNeeded, want: stocking.Note, remedy: stocking.CloseLid},
		{ensures: "a jumper without a tank is a note", fish: testfish.Trait(species.Jumping, 0.6), lines: one(2), noTank: true, code: stocking.LidNeeded, want: stocking.Note, remedy: stocking.CloseLid},
		{ensures: "a jumper under a lid is fine", fish: testfish.Trait(species.Jumping, 1), lines: one(2), code: stocking.LidNeeded, absent: true},
		{ensures: "a fish that seldom jumps needs no lid", fish: testfish.Trait(species.Jumping, 0.59), lines: one(2), tank: flag(lid, yesNo(false)), code: stocking.LidNeeded, absent: true},
		{ensures: "timid fish in the open is advice", fish: testfish.Trait(species.Timidity, 0.6), lines: one(2), tank: cover(0.49), code: stocking.CoverThin, want: stocking.Advice, remedy: stocking.MoreCover},
		{ensures: "fish that are hardly timid need none", fish: testfish.Trait(species.Timidity, 0.5), lines: one(2), tank: cover(0.2), code: stocking.CoverThin, absent: true},
		{ensures: "a mild fish defends no ground that needs it", fish: func(sp *species.Species) {
			testfish.Trait(species.Territory, 20)(sp)
			testfish.Trait(species.AggressionOthers, 0.25)(sp)
		}, lines: one(2), tank: cover(0.2), code: stocking.CoverThin, absent: true},
		{ensures: "normal cover exactly is enough", fish: testfish.Trait(species.Timidity, 0.6), lines: one(2), tank: cover(0.5), code: stocking.CoverThin, absent: true},
		{ensures: "unknown cover is not judged", fish: testfish.Trait(species.Timidity, 0.6), lines: one(2), tank: func(t *stocking.Tank) { t.CoverKnown, t.Cover = false, 0 }, code: stocking.CoverThin, absent: true},
		{ensures: "a territorial fish with company needs cover", fish: func(sp *species.Species) {
			testfish.Trait(species.Territory, 20)(sp)
			testfish.Trait(species.AggressionOthers, 0.3)(sp)
		}, lines: one(2), tank: cover(0.2), code: stocking.CoverThin, want: stocking.Advice, remedy: stocking.MoreCover},
		{ensures: "a territorial fish alone does not", fish: func(sp *species.Species) {
			testfish.Trait(species.Territory, 20)(sp)
			testfish.Trait(species.AggressionOthers, 0.3)(sp)
		}, lines: one(1), tank: cover(0.2), code: stocking.CoverThin, absent: true},
		{ensures: "gravel for a fish that needs sand is a note", fish: needing("sand"), lines: one(2), tank: func(t *stocking.Tank) { t.Substrate = "gravel" }, code: stocking.SandNeeded, want: stocking.Note, remedy: stocking.LaySand},
		{ensures: "an unknown floor for a fish that needs sand is a note", fish: needing("sand"), lines: one(2), tank: func(t *stocking.Tank) { t.Substrate = "" }, code: stocking.SandNeeded, want: stocking.Note, remedy: stocking.LaySand},
		{ensures: "sand is sand", fish: needing("sand"), lines: one(2), code: stocking.SandNeeded, absent: true},
		{ensures: "an animal of the shore in a tank is advice", fish: needing("land_area"), lines: one(2), code: stocking.LandNeeded, want: stocking.Advice},
		{ensures: "an animal of the shore without a tank is a note", fish: needing("land_area"), lines: one(2), noTank: true, code: stocking.LandNeeded, want: stocking.Note},
		{ensures: "salt that nobody told of is advice for who needs it", fish: brackish, lines: one(2), tank: salt(-1), code: stocking.SaltNeeded, want: stocking.Advice},
		{ensures: "salt is asked for without a tank", fish: brackish, lines: one(2), noTank: true, code: stocking.SaltNeeded, want: stocking.Note},
		{ensures: "salt that was measured is judged by what it is", fish: brackish, lines: one(2), tank: salt(0), code: stocking.SaltNeeded, absent: true},
		{ensures: "a new tank holds a fish that starves in one and is about to join", fish: func(sp *species.Species) { sp.Needs, sp.Guild = []string{"mature_tank"}, species.AlgaeGrazer }, lines: incoming(2), tank: flag(mature, yesNo(false)), code: stocking.MatureTankNeeded, want: stocking.Stop, remedy: stocking.MatureFilter},
		{ensures: "a new tank for a fish that needs an old one is advice", fish: needing("mature_tank"), lines: one(2), tank: flag(mature, yesNo(false)), code: stocking.MatureTankNeeded, want: stocking.Advice, remedy: stocking.MatureFilter},
		{ensures: "a tank of unknown age is a note", fish: needing("mature_tank"), lines: one(2), tank: flag(mature, nil), code: stocking.MatureTankNeeded, want: stocking.Note, remedy: stocking.MatureFilter},
		{ensures: "a mature tank is fine", fish: needing("mature_tank"), lines: one(2), code: stocking.MatureTankNeeded, absent: true},
		{ensures: "a plant eater in a planted tank is advice", fish: testfish.Trait(species.PlantEating, 0.5), lines: one(2), tank: flag(planted, yesNo(true)), code: stocking.PlantsEaten, want: stocking.Advice, remedy: stocking.RemovePlants},
		{ensures: "a nibbler in a planted tank is a note", fish: testfish.Trait(species.PlantEating, 0.3), lines: one(2), tank: flag(planted, yesNo(true)), code: stocking.PlantsEaten, want: stocking.Note, remedy: stocking.RemovePlants},
		{ensures: "and so is one that is a little worse", fish: testfish.Trait(species.PlantEating, 0.45), lines: one(2), tank: flag(planted, yesNo(true)), code: stocking.PlantsEaten, want: stocking.Note, remedy: stocking.RemovePlants},
		{ensures: "a fish that hardly ever nibbles is fine", fish: testfish.Trait(species.PlantEating, 0.25), lines: one(2), tank: flag(planted, yesNo(true)), code: stocking.PlantsEaten, absent: true},
		{ensures: "a plant eater without plants is fine", fish: testfish.Trait(species.PlantEating, 1), lines: one(2), code: stocking.PlantsEaten, absent: true},
		{ensures: "much flow for a fish of still water is a note", fish: testfish.Trait(species.Flow, 0), lines: one(2), tank: turnover(3.7), code: stocking.FlowTooStrong, want: stocking.Note, remedy: stocking.MoveTurnover},
		{ensures: "a torrent for a fish of still water is advice", fish: testfish.Trait(species.Flow, 0), lines: one(2), tank: turnover(7.3), code: stocking.FlowTooStrong, want: stocking.Advice, remedy: stocking.MoveTurnover},
		{ensures: "a gentle filter is not", fish: testfish.Trait(species.Flow, 0), lines: one(2), tank: turnover(3.6), code: stocking.FlowTooStrong, absent: true},
		{ensures: "little flow for a fish of torrents is a note", fish: testfish.Trait(species.Flow, 1), lines: one(2), tank: turnover(8.3), code: stocking.FlowTooWeak, want: stocking.Note, remedy: stocking.MoveTurnover},
		{ensures: "still water for a fish of torrents is advice", fish: testfish.Trait(species.Flow, 1), lines: one(2), tank: turnover(4.7), code: stocking.FlowTooWeak, want: stocking.Advice, remedy: stocking.MoveTurnover},
		{ensures: "strong flow for it is fine", fish: testfish.Trait(species.Flow, 1), lines: one(2), tank: turnover(8.5), code: stocking.FlowTooWeak, absent: true},
		{ensures: "a weak filter is advice", lines: one(2), tank: turnover(1.9), code: stocking.TurnoverLow, want: stocking.Advice, remedy: stocking.MoveTurnover},
		{ensures: "the least turnover exactly is enough", lines: one(2), tank: turnover(2), code: stocking.TurnoverLow, absent: true},
	})
}

func TestLengthsAgesAndLives(t *testing.T) {
	length := func(cm, months float64) []stocking.Line {
		return []stocking.Line{{Count: 2, LengthCM: cm, AgeMonth: months}}
	}
	runFindings(t, []findingCase{
		{ensures: "a length above the record is advice with the record", lines: length(6.1, 0), code: stocking.LongerThanRecorded, want: stocking.Advice, remedy: stocking.CorrectLength},
		{ensures: "the record length itself is believed", lines: length(6, 0), code: stocking.LongerThanRecorded, absent: true},
		{ensures: "a full-grown fish of a month contradicts its age", lines: length(5, 1), code: stocking.AgeAgainstLength, want: stocking.Advice},
		{ensures: "a tiny fish of four years contradicts its age", lines: length(1.5, 48), code: stocking.AgeAgainstLength, want: stocking.Advice},
		{ensures: "a fish of the expected length does not", lines: length(3, 6), code: stocking.AgeAgainstLength, absent: true},
		{ensures: "a fish a fifth shorter than the slowest grow is still believed", lines: length(3.1, 24), code: stocking.AgeAgainstLength, absent: true},
		{ensures: "one shorter than that is not", lines: length(3, 24), code: stocking.AgeAgainstLength, want: stocking.Advice},
		{ensures: "a young fish a fifth and a centimetre longer than the fastest grow is still believed", lines: length(4.3, 3), code: stocking.AgeAgainstLength, absent: true},
		{ensures: "one longer than that is not", lines: length(4.4, 3), code: stocking.AgeAgainstLength, want: stocking.Advice},
		{ensures: "a hatchling does not", lines: length(1, 0.5), code: stocking.AgeAgainstLength, absent: true},
		{ensures: "a life of ten years is said aloud", fish: testfish.Trait(species.Lifespan, 10), lines: one(2), code: stocking.LongCommitment, want: stocking.Note},
		{ensures: "a shorter one is not", fish: testfish.Trait(species.Lifespan, 9.9), lines: one(2), code: stocking.LongCommitment, absent: true},
	})
}
