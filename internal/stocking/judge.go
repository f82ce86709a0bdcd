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
	j := prepare(book, &s)
	j.judgeFully()
	return j.check(), nil
}

// check writes out a finished judging.
func (j *judging) check() Check {
	c := Check{
		Decision: j.decision, SpeciesDecision: j.speciesDecision(), Wanted: j.wanted,
		Lines: make([]Line, len(j.lines)), Findings: j.findings,
		Shared: j.sharedWater(), Load: j.load, LeaveOut: j.leaveOut(), Outlook: j.outlook(),
		Assumed: j.assumed(), Cautions: j.cautions(), Missing: j.missing(),
	}
	for i := range j.lines {
		c.Lines[i] = j.lines[i].Line
	}
	c.Pairings = j.worstFirst() // last: it moves the briefs that the rest refers to
	c.Summary = j.summary(c.Pairings)
	return c
}

// missing names each trait the catalogue lacks once for each species.
func (j *judging) missing() (out []conflict.MissingTrait) {
	for i := range j.lines {
		if j.lines[i].kind != i {
			continue
		}
		for _, t := range j.lines[i].profile.Missing() {
			m := conflict.MissingTrait{Species: j.lines[i].species.ID, Trait: t}
			if !slices.Contains(out, m) {
				out = append(out, m)
			}
		}
	}
	return out
}
