package stocking

import (
	"slices"

	"commensal/internal/conflict"
)

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

// check writes out a finished judging.
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
