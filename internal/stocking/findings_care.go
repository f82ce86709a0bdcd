package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// When a habit is strong enough to ask something of the tank: grades as in the
// catalogue. Common practice, no source.
const (
	jumperFrom      = 0.6  // jumps: a lid is needed
	timidFrom       = 0.55 // cowed: cover is needed
	territorialFrom = 0.3  // drives others off: cover is needed beside others
	plantEaterFrom  = 0.5  // spoils a planted tank
	plantNibblerAt  = 0.3  // may spoil it
	leastCover      = conflict.NormalCover
)

// keeping compares what a species needs of the furnishing with what the tank has. What
// is not known of the tank is said as a note; what is known to be wrong is advice.
func (f *finder) keeping(first int) {
	f.lid(first)
	f.cover(first)
	r := &f.Lines[first]
	if r.needs("sand") && f.Tank != nil && f.Tank.Substrate != "sand" {
		severity := Advice
		if f.Tank.Substrate == "" {
			severity = Note
		}
		f.add(severity, SandNeeded, f.kindLines(first), f.NewChange(LaySand, -1))
	}
	if r.needs("mature_tank") && !f.known(true, func(t *Tank) *bool { return t.FilterMature }) {
		f.add(f.unless(func(t *Tank) *bool { return t.FilterMature }), MatureTankNeeded, f.kindLines(first), f.NewChange(MatureFilter, -1))
	}
	f.plants(first)
}

func (f *finder) lid(first int) {
	r := &f.Lines[first]
	jumps := r.typical(species.Jumping, 0)
	lid := func(t *Tank) *bool { return t.Lid }
	if jumps < jumperFrom || f.known(true, lid) {
		return
	}
	f.add(f.unless(lid), LidNeeded, f.kindLines(first), f.NewChange(CloseLid, -1),
		conflict.Evidence{Name: "jumping", Value: jumps, Unit: "grade"})
}

// cover finds a known cover that is too thin for the timid, and for the territorial
// beside others.
func (f *finder) cover(first int) {
	if f.Tank == nil || !f.Tank.CoverKnown || f.Tank.Cover >= leastCover {
		return
	}
	r := &f.Lines[first]
	timidity := r.typical(species.Timidity, 0)
	hides := timidity >= timidFrom || r.needs("hiding_places") || r.needs("caves")
	alone := len(f.Lines) == 1 && r.Fish == 1
	fierce := max(r.typical(species.AggressionOthers, 0), r.typical(species.AggressionOwn, 0))
	defends := r.typical(species.Territory, 0) > 0 && fierce >= territorialFrom && !alone
	if !hides && !defends {
		return
	}
	remedy := f.NewChange(MoreCover, -1,
		conflict.Evidence{Name: "from", Value: f.Tank.Cover, Unit: "share"},
		conflict.Evidence{Name: "to", Value: leastCover, Unit: "share"})
	remedy.From, remedy.To = f.Tank.Cover, leastCover
	f.add(Advice, CoverThin, f.kindLines(first), remedy,
		conflict.Evidence{Name: "cover", Value: f.Tank.Cover, Unit: "share"},
		conflict.Evidence{Name: "needed_cover", Value: leastCover, Unit: "share"},
		conflict.Evidence{Name: "timidity", Value: timidity, Unit: "grade"})
}

// plants finds plant eaters in a tank that is known to be planted.
func (f *finder) plants(first int) {
	eats := f.Lines[first].typical(species.PlantEating, 0)
	if eats < plantNibblerAt || !f.known(true, func(t *Tank) *bool { return t.Planted }) {
		return
	}
	severity := Note
	if eats >= plantEaterFrom {
		severity = Advice
	}
	f.add(severity, PlantsEaten, f.kindLines(first), f.NewChange(RemovePlants, -1),
		conflict.Evidence{Name: "plant_eating", Value: eats, Unit: "grade"})
}

// known reports whether a yes-or-no of the tank is known to be want.
func (f *finder) known(want bool, field func(*Tank) *bool) bool {
	if f.Tank == nil {
		return false
	}
	v := field(f.Tank)
	return v != nil && *v == want
}

// unless is advice where the tank is known to lack something, a note where it is not
// known.
func (f *finder) unless(field func(*Tank) *bool) Severity {
	if f.known(false, field) {
		return Advice
	}
	return Note
}
