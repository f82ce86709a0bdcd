package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// DefaultWanted is the highest level a pairing may have where the caller names none.
const DefaultWanted = conflict.Moderate

// Check is a whole list, with or without a tank, judged.
type Check struct {
	Decision Decision
	// SpeciesDecision is the decision without any observed disposition; it differs
	// from Decision only where a keeper's experience of single fish changed a level.
	SpeciesDecision Decision
	Summary         Summary
	// Lines is the list in canonical order, like lines merged; every line number in
	// the answer is a position in it, and its Refs lead back to the caller's list.
	Lines    []Line
	Wanted   conflict.Level
	Findings []Finding     // what matters most first
	Pairings []ListPairing // worst first
	Shared   SharedWater
	Load     *Load // nil when nothing can be said
	LeaveOut LeaveOut
	Outlook  Outlook
	Assumed  []conflict.Statement // what was taken for granted, each named
	Cautions []conflict.CautionNote
	Missing  []conflict.MissingTrait
}

// Finding is one explained statement about lines or about the tank.
type Finding struct {
	Severity Severity
	Lines    []int // ascending positions in Check.Lines; empty for the tank itself
	// Statement says what was found: its code, whom it concerns and the evidence.
	Statement conflict.Statement
	// Remedy is the least change that clears this finding; nil where none does.
	Remedy *Change
}

// Code is the finding's code.
func (f *Finding) Code() Code { return f.Statement.Code }

// ListPairing is one pairing of the list. First = Second is a line among its own.
type ListPairing struct {
	First, Second int // positions in Check.Lines, First ≤ Second
	Conditions    conflict.Conditions
	// Score has no shares: package conflict explains a pairing in full.
	Score   conflict.Score
	Summary conflict.Statement
	// SpeciesLevel is the score of ordinary animals, set when a disposition changed it.
	SpeciesLevel *conflict.Score
}

// Summary is the one sentence that says it all, before it becomes one.
type Summary struct {
	Decision Decision
	// Main is what decides: the summary of the worst pairing or the first finding.
	Main conflict.Statement
	More int // further findings and pairings as grave as Main
	// Observed is set when a disposition changed a score.
	Observed *Observed
}

// Observed is what a keeper's experience of single fish changed: the pairing it moved
// whose species-level score is highest.
type Observed struct {
	Line                   int
	Disposition            conflict.Disposition
	Months                 float64
	Score, SpeciesLevel    float64
	Level, LevelForSpecies conflict.Level
}

// SharedWater is the water that suits everyone on the list.
type SharedWater struct {
	Windows []conflict.Window // one for each parameter on record for any line
	OK      bool
	// Apart names, where OK is false, the lines that cannot share a parameter.
	Apart []WaterApart
}

// WaterApart is a parameter that no value suits, and the two lines whose tolerated
// ranges lie furthest apart.
type WaterApart struct {
	Parameter  species.Parameter
	Low, High  int // lines: Low tolerates only less than High does
	LowRange   species.Range
	HighRange  species.Range
	Difference float64 // the gap between the ranges, in the parameter's unit
}

// Judge checks a list, in its tank where one is given: the decision, why, what could be
// left out, and what the water carries. A list that cannot be judged gives an
// [*InputError] that names every fault; nothing else fails.
//
// Answers are guidance, not a guarantee. The order of the list never matters.
func Judge(book *conflict.Book, s Stock) (Check, error) {
	if err := s.Validate(book); err != nil {
		return Check{}, err
	}
	j := NewAssessment(book, &s)
	j.JudgeInFull()
	return j.check(), nil
}

// check writes out a judged list.
func (j *Assessment) check() Check {
	c := Check{
		Decision: j.Decision, SpeciesDecision: j.speciesDecision(), Wanted: j.Wanted,
		Lines: make([]Line, len(j.Lines)), Findings: j.Findings,
		Shared: j.SharedWater(), Load: j.Load, LeaveOut: j.leaveOut(), Outlook: j.outlook(),
		Assumed: j.assumed(), Cautions: j.Cautions(), Missing: j.missing(),
	}
	for i := range j.Lines {
		c.Lines[i] = j.Lines[i].Line
	}
	c.Pairings = j.WorstFirst() // last: it moves the briefs that the rest refers to
	c.Summary = j.Summary(c.Pairings)
	return c
}

// missing names each trait the catalogue lacks once for each species.
func (j *Assessment) missing() (out []conflict.MissingTrait) {
	for i := range j.Lines {
		if j.Lines[i].Kind != i {
			continue
		}
		for _, t := range j.Lines[i].Profile.Missing() {
			m := conflict.MissingTrait{Species: j.Lines[i].Species.ID, Trait: t}
			if !slices.Contains(out, m) {
				out = append(out, m)
			}
		}
	}
	return out
}
