package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Question is something whose answer could change the decision.
type Question struct {
	Lines     []int // positions in Check.Lines that it is about; empty for the tank
	Statement conflict.Statement
}

// Code is the question's code.
func (q *Question) Code() Code { return q.Statement.Code }

// The questions.
const (
	AskTank        Code = "ask.tank"
	AskLaw         Code = "ask.law"
	AskPermit      Code = "ask.permit"
	AskName        Code = "ask.name"
	AskSalinity    Code = "ask.salinity"
	AskTemperature Code = "ask.temperature"
	AskSex         Code = "ask.sex"
	AskSides       Code = "ask.sides"
	AskFilter      Code = "ask.filter"
	AskLid         Code = "ask.lid"
)

// maxAsked is how many questions are asked: more are not answered at a counter.
const maxAsked = 2

// ask lists the questions whose answers would matter most.
func (j *Assessment) ask(told []Finding) (out []Question) {
	a := asker{j, told}
	for _, q := range []func() *Question{a.name, a.law, a.theTank, a.salinity, a.warmth, a.sex, a.sides, a.filter, a.lid} {
		if question := q(); question != nil && len(out) < maxAsked {
			out = append(out, *question)
		}
	}
	return out
}

// asker finds out what is worth asking.
type asker struct {
	*Assessment
	told []Finding
}

// about is a question about the lines of what was told under some codes; nil where nothing was.
func (a asker) about(code Code, least Severity, codes ...Code) *Question {
	for i := range a.told {
		if f := &a.told[i]; f.Severity >= least && slices.Contains(codes, f.Code()) {
			return &Question{Lines: f.Lines, Statement: conflict.Statement{Code: code, Actor: f.Statement.Actor}}
		}
	}
	return nil
}

func (a asker) name() *Question { return a.about(AskName, Advice, NameNotFound) }

// law asks for the permit where one is needed, and else whether the kind may be kept at all.
func (a asker) law() *Question {
	if q := a.about(AskPermit, Stop, LawPermit); q != nil {
		return q
	}
	return a.about(AskLaw, Stop, LawUnknown)
}

// theTank asks for the tank where none is known and a kind needs a roomy one, or something stands
// against the list that a tank may change.
func (a asker) theTank() *Question {
	if q := a.about(AskTank, Note, DangerousUnseen, GiantUnhoused, TankAsked); q != nil {
		return q
	}
	if a.Tank.Volume() <= 0 && !a.HasFootprint() && len(a.Lines) > 0 {
		return &Question{Statement: conflict.Statement{Code: AskTank}}
	}
	return nil
}

// salinity asks where the salt is not known and a kind needs it as an adult.
func (a asker) salinity() *Question {
	if a.Reading(species.Salinity).Known {
		return nil
	}
	return a.kind(AskSalinity, func(r *Resident) bool { return slices.Contains(r.Species.Cautions, species.SaltOverTime) })
}

// warmth asks for the temperature where it is not known and what the kinds prefer does not meet.
func (a asker) warmth() *Question {
	w := a.WaterLimits(species.Temperature)
	if a.Reading(species.Temperature).Known || !w.Known || w.Preferred.Low <= w.Preferred.High {
		return nil
	}
	return &Question{Statement: conflict.Statement{Code: AskTemperature}}
}

// sex asks where males fight or wear out females and nobody said what they are.
func (a asker) sex() *Question {
	return a.kind(AskSex, func(r *Resident) bool {
		fights := oneMale(r.Species) && r.typical(species.AggressionOwn, 0) >= fightsFrom
		return r.Sex == species.Unsexed && r.Species.SexedTrade && r.Company > 1 && (fights || livebearer(r.Species))
	})
}

// fightsFrom is the grade of aggression among its own from which two males matter.
const fightsFrom = 0.6

// sides asks for the length of a tank whose volume alone is known where room decides.
func (a asker) sides() *Question {
	if a.Tank == nil || !a.Tank.ShapeTaken {
		return nil
	}
	return a.about(AskSides, Advice, TankTooShort, FootprintTooSmall, TankTooLow)
}

// filter asks where a new tank is to take many fish at once, or fish that starve in one.
func (a asker) filter() *Question {
	if a.Tank == nil || a.Tank.FilterMature != nil {
		return nil
	}
	return a.kind(AskFilter, func(r *Resident) bool { return r.Incoming && r.needs("mature_tank") })
}

// lid asks where a jumper is to live in a tank of which nobody said whether it is closed.
func (a asker) lid() *Question {
	if a.Tank == nil || a.Tank.Lid != nil {
		return nil
	}
	return a.about(AskLid, Note, LidNeeded)
}

// kind is a question about the first kind of which something holds.
func (a asker) kind(code Code, holds func(*Resident) bool) *Question {
	for i := range a.Lines {
		if r := &a.Lines[i]; holds(r) {
			return &Question{Lines: []int{i}, Statement: conflict.Statement{Code: code, Actor: r.Species}}
		}
	}
	return nil
}

// livebearer reports a kind that breeds by itself in any tank with both sexes.
func livebearer(sp *species.Species) bool { return sp.Shape == "livebearer" }
