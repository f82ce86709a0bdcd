package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Summary picks what decides: the first reason that leads to the decision.
func (j *Assessment) Summary(told []Finding) Summary {
	s := Summary{Decision: j.Decision, Observed: j.observed()}
	if j.Decision == Proceed {
		s.Main = j.fine()
		return s
	}
	for i := range told {
		if DecisionOf(told[i:i+1]) != j.Decision {
			continue
		}
		if s.Reason == nil {
			s.Reason, s.Main = &told[i], told[i].Statement
		} else {
			s.More++
		}
	}
	return s
}

// fine says that nothing speaks against the list.
func (j *Assessment) fine() conflict.Statement {
	kinds := 0
	for i := range j.Lines {
		if j.Lines[i].Kind == i {
			kinds++
		}
	}
	if kinds == 0 {
		return conflict.Statement{Code: SummaryNothing}
	}
	if kinds == 1 {
		return conflict.Statement{Code: SummaryFineSingle, Actor: j.Lines[0].Species}
	}
	return conflict.Statement{Code: SummaryFine, Evidence: []conflict.Evidence{{Name: "number", Value: float64(kinds)}}}
}

// observed is what dispositions changed: of the pairings they moved, the one with the
// highest species-level score; nil where they moved none.
func (j *Assessment) observed() *Observed {
	worst := -1
	for i := range j.Pairs {
		p := &j.Pairs[i]
		if p.Score != p.SpeciesScore && (worst < 0 || p.SpeciesScore > j.Pairs[worst].SpeciesScore) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	p := &j.Pairs[worst]
	line := p.First
	if j.Lines[line].Observed == conflict.Typical {
		line = p.Second
	}
	return &Observed{
		Line: line, Disposition: j.Lines[line].Observed, Months: j.Lines[line].MonthsObserved,
		Score: p.Score, SpeciesLevel: p.SpeciesScore, Level: p.Level, LevelForSpecies: p.SpeciesLevel,
	}
}

// assumed names what was taken for granted, so that a reader can put it right.
func (j *Assessment) assumed() (out []conflict.Statement) {
	add := func(code Code, ev ...conflict.Evidence) {
		out = append(out, conflict.Statement{Code: code, Evidence: ev})
	}
	switch {
	case j.Tank == nil:
		add(AssumedNoTank)
	case j.Tank.ShapeTaken:
		add(AssumedShape, conflict.Evidence{Name: "volume", Value: j.Tank.VolumeL, Unit: "L"},
			conflict.Evidence{Name: "length", Value: j.Tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "width", Value: j.Tank.WidthCM, Unit: "cm"},
			conflict.Evidence{Name: "height", Value: j.Tank.HeightCM, Unit: "cm"})
	case !j.HasFootprint():
		add(AssumedFootprint)
	}
	if j.Tank != nil && !j.Tank.CoverKnown {
		add(AssumedCover, conflict.Evidence{Name: "cover", Value: conflict.NormalCover, Unit: "share"})
	}
	out = j.assumedWater(out)
	for i := range j.Lines {
		if r := &j.Lines[i]; r.Count == 0 {
			out = append(out, conflict.Statement{Code: AssumedCount, Actor: r.Species,
				Evidence: []conflict.Evidence{{Name: "count", Value: float64(r.Fish), Unit: "fish"}}})
		}
	}
	out = j.assumedMoods(out)
	j.assumedLoad(add)
	return out
}

// assumedWater names the parameters without a reading, each judged at the best common
// point of every pairing.
func (j *Assessment) assumedWater(out []conflict.Statement) []conflict.Statement {
	var unknown []conflict.WordCode
	for p := range species.Parameter(species.NumParameters) {
		if !j.Reading(p).Known {
			unknown = append(unknown, ParameterWord[p])
		}
	}
	if len(unknown) > 0 {
		out = append(out, conflict.Statement{Code: AssumedWater, Words: unknown})
	}
	return out
}

// assumedMoods names the dispositions that nobody saw for any time, which count for nothing.
func (j *Assessment) assumedMoods(out []conflict.Statement) []conflict.Statement {
	for i := range j.Lines {
		if r := &j.Lines[i]; r.Unproved {
			out = append(out, conflict.Statement{Code: AssumedMood, Actor: r.Species})
		}
	}
	return out
}

// assumedLoad names what the load rests on.
func (j *Assessment) assumedLoad(add func(Code, ...conflict.Evidence)) {
	if j.Load == nil {
		return
	}
	add(AssumedFood, conflict.Evidence{Name: "protein", Value: foodProtein, Unit: "share"})
	if j.Load.TemperatureTaken {
		add(AssumedTemperature, conflict.Evidence{Name: "temperature", Value: j.Load.TemperatureC, Unit: "C"})
	}
	if j.Load.WaterL > 0 {
		add(AssumedNetVolume, conflict.Evidence{Name: "water", Value: j.Load.WaterL, Unit: "L"},
			conflict.Evidence{Name: "share", Value: netShare, Unit: "share"})
	}
	if j.Load.Nitrate != nil && j.Load.Nitrate.SourceTaken {
		add(AssumedSource)
	}
}

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
	for _, q := range questions {
		question := q(&a)
		if question == nil {
			continue
		}
		if out = append(out, *question); len(out) == maxAsked {
			break
		}
	}
	return out
}

// asker finds out what is worth asking.
type asker struct {
	*Assessment
	told []Finding
}

// questions are what may be asked, what matters most first.
var questions = [...]func(*asker) *Question{(*asker).name, (*asker).law, (*asker).theTank, (*asker).salinity, (*asker).warmth, (*asker).sex, (*asker).sides,
	(*asker).filter, (*asker).lid}

// about is a question about the lines of what was told under some codes; nil where nothing was.
func (a *asker) about(code Code, least Severity, codes ...Code) *Question {
	for i := range a.told {
		if f := &a.told[i]; f.Severity >= least && slices.Contains(codes, f.Code()) {
			return &Question{Lines: f.Lines, Statement: conflict.Statement{Code: code, Actor: f.Statement.Actor}}
		}
	}
	return nil
}

func (a *asker) name() *Question { return a.about(AskName, Advice, NameNotFound) }

// law asks for the permit where one is needed, and else whether the kind may be kept at all.
func (a *asker) law() *Question {
	if q := a.about(AskPermit, Stop, LawPermit); q != nil {
		return q
	}
	return a.about(AskLaw, Stop, LawUnknown)
}

// theTank asks for the tank where none is known and a kind needs a roomy one, or something stands
// against the list that a tank may change.
func (a *asker) theTank() *Question {
	if q := a.about(AskTank, Note, DangerousUnseen, GiantUnhoused, TankAsked); q != nil {
		return q
	}
	if a.Tank.Volume() <= 0 && !a.HasFootprint() && len(a.Lines) > 0 {
		return &Question{Statement: conflict.Statement{Code: AskTank}}
	}
	return nil
}

// salinity asks where the salt is not known and a kind needs it as an adult.
func (a *asker) salinity() *Question {
	if a.Reading(species.Salinity).Known {
		return nil
	}
	return a.kind(AskSalinity, func(r *Resident) bool { return NeedsSalt(r.Species) })
}

// warmth asks for the temperature where it is not known and what the kinds prefer does not meet.
func (a *asker) warmth() *Question {
	w := a.WaterLimits(species.Temperature)
	if a.Reading(species.Temperature).Known || !w.Known || w.Preferred.Low <= w.Preferred.High {
		return nil
	}
	return &Question{Statement: conflict.Statement{Code: AskTemperature}}
}

// sex asks where males fight or wear out females and nobody said what they are.
func (a *asker) sex() *Question {
	return a.kind(AskSex, func(r *Resident) bool {
		fights := oneMale(r.Species) && r.typical(species.AggressionOwn, 0) >= fightsFrom
		return r.Sex == species.Unsexed && r.Species.SexedTrade && r.Company > 1 && (fights || livebearer(r.Species))
	})
}

// fightsFrom is the grade of aggression among its own from which two males matter.
const fightsFrom = 0.6

// sides asks for the length of a tank whose volume alone is known where room decides.
func (a *asker) sides() *Question {
	if a.Tank == nil || !a.Tank.ShapeTaken {
		return nil
	}
	return a.about(AskSides, Advice, TankTooShort, FootprintTooSmall, TankTooLow)
}

// filter asks where a new tank is to take many fish at once, or fish that starve in one.
func (a *asker) filter() *Question {
	if a.Tank == nil || a.Tank.FilterMature != nil {
		return nil
	}
	return a.kind(AskFilter, func(r *Resident) bool { return r.Incoming && r.needs("mature_tank") })
}

// lid asks where a jumper is to live in a tank of which nobody said whether it is closed.
func (a *asker) lid() *Question {
	if a.Tank == nil || a.Tank.Lid != nil {
		return nil
	}
	return a.about(AskLid, Note, LidNeeded)
}

// kind is a question about the first kind of which something holds.
func (a *asker) kind(code Code, holds func(*Resident) bool) *Question {
	for i := range a.Lines {
		if r := &a.Lines[i]; holds(r) {
			return &Question{Lines: []int{i}, Statement: conflict.Statement{Code: code, Actor: r.Species}}
		}
	}
	return nil
}

// livebearer reports a kind that breeds by itself in any tank with both sexes.
func livebearer(sp *species.Species) bool { return sp.Shape == "livebearer" }
