package stocking

import (
	"slices"
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/law"
)

// When a fish is not sold without the tank being known: common practice, no source.
const (
	// giantTank is the shortest tank in cm that makes a kind outgrow nearly every home tank.
	giantTank = 180.0
	// roomyTank is the customary tank length in cm from which a tank must be asked for.
	roomyTank = 100.0
	// armsFrom is the adult length in cm from which a venomous or biting fish endangers people.
	armsFrom = 16.0
)

// housing asks for the tank where none is known: kinds that outgrow nearly every home tank or that
// endanger people are held, others that need a roomy one are advised on.
func (f *finder) housing(first int) {
	if !f.AtSale || f.Tank.Volume() > 0 || f.HasFootprint() {
		return
	}
	r := &f.Lines[first]
	need, known := r.Band(species.TankLength)
	ev := []conflict.Evidence{{Name: "length", Value: r.typical(species.Length, 0), Unit: "cm"},
		{Name: "needed_length", Value: need.Typical, Unit: "cm"}}
	switch {
	case dangerous(r):
		f.add(Stop, DangerousUnseen, f.kindLines(first), nil, ev...)
	case outgrows(r.Species) || known && need.Low >= giantTank:
		f.add(Stop, GiantUnhoused, f.kindLines(first), nil, ev...)
	case known && need.Typical >= roomyTank:
		f.add(Advice, TankAsked, f.kindLines(first), nil, ev...)
	}
}

func outgrows(sp *species.Species) bool { return slices.Contains(sp.Cautions, species.Tankbuster) }

// dangerous reports an animal that can hurt a person badly.
func dangerous(r *Resident) bool {
	has := func(c species.Caution) bool { return slices.Contains(r.Species.Cautions, c) }
	if has(species.Electric) {
		return true
	}
	return (has(species.Venomous) || has(species.Bites)) && r.typical(species.Length, 0) >= armsFrom
}

// lawOf is what the published rules say of a kind where the seller is.
func (j *Assessment) lawOf(sp *species.Species) law.Answer {
	return law.Of(j.Book.Law, law.PlaceOf(j.Region), sp)
}

// law holds what may not be sold or kept where the seller is, or only with a permit, and what is
// forbidden in many places until somebody has said that it may be kept here. What is restricted in
// some is in the cautions.
func (f *finder) law(first int) {
	sp := f.Lines[first].Species
	switch hands := f.lawOf(sp).Hands(); {
	case hands == law.Forbidden:
		f.add(Stop, LawForbids, f.kindLines(first), nil)
	case hands == law.Permit:
		f.add(Stop, LawPermit, f.kindLines(first), nil)
	case slices.Contains(sp.Cautions, species.Prohibited):
		f.add(Stop, LawUnknown, f.kindLines(first), nil)
	}
}

// lawNote is the caution with the rules that touch a kind where the seller is; ok is false where none
// names it, and the general cautions stay.
func (j *Assessment) lawNote(sp *species.Species) (note conflict.CautionNote, ok bool) {
	answer := j.lawOf(sp)
	if !answer.Specific() {
		return note, false
	}
	note = CautionNote(species.Regulated, sp)
	note.Text = strings.Join(answer.Sentences(sp), " ")
	return note, true
}

// When an animal that is no fish is held: common practice, no source.
const (
	// turtleTank is the volume in litres below which no turtle of the trade is kept for life.
	turtleTank = 150.0
	// seaSalt is the salinity in ppt from which on water is that of the sea.
	seaSalt = 25.0
)

// otherAnimal is how grave an animal that is no fish is: held beside fish; where an animal of the sea joins a tank that
// is not known to be salt; where a turtle gets a small tank.
func (f *finder) otherAnimal(o *Other) Severity {
	salt := f.Reading(species.Salinity)
	switch {
	case o.Good == species.GoodMarine && o.Incoming && f.Tank != nil && !(salt.Known && salt.Value >= seaSalt):
		return Stop
	case o.Good == species.GoodTurtle && f.Tank.Volume() > 0 && f.Tank.Volume() < turtleTank:
		return Stop
	case len(f.Lines) == 0:
		return Advice
	}
	return Stop
}

// others says what cannot be judged: a sentence for plants, wood and the like; a look for animals
// that eat fish or are eaten by them; advice for a name that was not found.
func (f *finder) others() {
	for i := range f.Others {
		o := &f.Others[i]
		code, severity := GoodCode(o.Good), Note
		switch {
		case o.Good == "":
			severity = Advice
		case o.Good.Animal():
			severity = f.otherAnimal(o)
		}
		found := f.add(severity, code, nil, nil)
		found.Other = o
	}
}

// GoodCode is the code that speaks of a kind of goods.
func GoodCode(k species.GoodKind) Code {
	if k == "" {
		return NameNotFound
	}
	return Code("not_a_fish_" + string(k))
}
