package stocking

import "commensal/internal/conflict"

// Short is the short form of a check: what decides and what is told, without what helps to mend it.
type Short struct {
	Decision, TankDecision Decision
	Summary                Summary
	Lines                  []Line     // as in [Check]
	Reasons                []Finding  // as in [Check]
	Ask                    []Question // as in [Check]
}

// JudgeShort is [Judge] for the short form: the same decision, reasons and questions. Only the pairings
// that are told get words, and no leave-out set, outlook or shared water is looked for.
func JudgeShort(book *conflict.Book, s Stock) (Short, error) {
	if err := s.Validate(book); err != nil {
		return Short{}, err
	}
	j := NewAssessment(book, &s)
	j.Judge()
	out := Short{Decision: j.Decision, TankDecision: j.TankDecision, Lines: make([]Line, len(j.Lines)), Reasons: j.told(j.briefsOfTold())}
	for i := range j.Lines {
		out.Lines[i] = j.Lines[i].Line
	}
	out.Ask, out.Summary = j.ask(out.Reasons), j.Summary(out.Reasons)
	return out, nil
}

// briefsOfTold words those of the scored pairings that are told.
func (j *Assessment) briefsOfTold() (out []ListPairing) {
	for i := range j.Pairs {
		p := &j.Pairs[i]
		if p.Level == conflict.Low && !p.Meant {
			continue
		}
		told := ListPairing{First: p.First, Second: p.Second, Existing: p.Existing, Meant: p.Meant}
		c := j.Conditions(p.First, p.Second)
		told.Score, told.Summary = j.Brief(j.Lines[p.First].Profile, j.Lines[p.Second].Profile, &c)
		out = append(out, told)
	}
	return out
}
