// Package care says of one kind what goes with it over the counter: how large it grows, how many live together, tank,
// water, food, level, temper, what must not be kept with it, cautions and the law. All of it is from the catalogue.
package care

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/law"
	"commensal/internal/stocking"
)

// Topic is what a line of a sheet is about.
type Topic string

// The topics, in the order in which they are told.
const (
	Size     Topic = "size"
	Group    Topic = "group"
	Tank     Topic = "tank"
	YourTank Topic = "your_tank"
	Water    Topic = "water"
	Food     Topic = "food"
	Level    Topic = "level"
	Temper   Topic = "temper"
	Apart    Topic = "apart_from"
	Caution  Topic = "caution"
	Law      Topic = "law"
)

// Line is one statement of a sheet. Kinds are those it names, where it names several.
type Line struct {
	Topic   Topic
	Finding stocking.Finding
}

// Sheet is what goes with one kind.
type Sheet struct {
	Species *species.Species
	Lines   []Line
	// Decided is set where a tank was given: what it comes to with the customary group alone in it.
	Decided  bool
	Decision stocking.Decision
}

// Question is what a sheet is asked for.
type Question struct {
	Index  int            // position of the kind in the book's snapshot
	Tank   *stocking.Tank // the customer's; nil where it is not known
	Region string         // where the seller is; empty where that is not known
}

// For writes the sheet of a kind. A tank that cannot be is an [*stocking.InputError].
func For(book *conflict.Book, q Question) (Sheet, error) {
	w := &writer{book: book, q: q, Sheet: Sheet{Species: book.Snapshot.At(q.Index)}}
	w.size()
	w.group()
	w.tank()
	if err := w.yourTank(); err != nil {
		return Sheet{}, err
	}
	w.water()
	w.life()
	w.temper()
	w.apart()
	w.cautions()
	w.law()
	return w.Sheet, nil
}

// writer gathers the lines.
type writer struct {
	Sheet
	book *conflict.Book
	q    Question
}

func (w *writer) add(t Topic, code stocking.Code, ev ...conflict.Evidence) {
	w.Lines = append(w.Lines, Line{t, stocking.Finding{Statement: conflict.Statement{Code: code, Actor: w.Species, Evidence: ev}}})
}

// of is a trait of the kind, as its customarily sold sex has it.
func (w *writer) of(t species.Trait) species.Value { return w.Species.Trait(t, w.Species.SoldAs) }

func (w *writer) size() {
	v := w.of(species.Length)
	if !v.Known() {
		return
	}
	longest := max(v.High, w.Species.MaleTraits[species.Length].High, w.Species.FemaleTraits[species.Length].High)
	w.add(Size, "care.size", conflict.Evidence{Name: "length", Value: v.Typical, Unit: "cm"}, conflict.Evidence{Name: "longest", Value: longest, Unit: "cm"})
}

func (w *writer) group() {
	code := stocking.Code("care.group." + string(w.Species.Social))
	least, customary, known := stocking.GroupNeed(w.Species, species.Unsexed)
	females := w.of(species.FemalesPerMale)
	switch {
	case w.Species.Social == "":
	case w.Species.Social == species.Group && known:
		w.add(Group, code, conflict.Evidence{Name: "least", Value: float64(least)}, conflict.Evidence{Name: "better", Value: float64(customary)})
	case w.Species.Social == species.Harem && females.Known() && females.Typical > 1:
		w.add(Group, code, conflict.Evidence{Name: "females", Value: females.Typical})
	case w.Species.Social == species.Group || w.Species.Social == species.Harem:
		w.add(Group, code+".some")
	default:
		w.add(Group, code)
	}
}

func (w *writer) tank() {
	length, width := w.of(species.TankLength), w.of(species.TankWidth)
	switch {
	case length.Known() && width.Known():
		w.add(Tank, "care.tank", conflict.Evidence{Name: "length", Value: length.Typical, Unit: "cm"}, conflict.Evidence{Name: "width", Value: width.Typical, Unit: "cm"})
	case length.Known():
		w.add(Tank, "care.tank_length", conflict.Evidence{Name: "length", Value: length.Typical, Unit: "cm"})
	}
}

// maxTankReasons is how many reasons are told of the customer's tank: the answer to a check has all.
const maxTankReasons = 2

// yourTank judges the customary group alone in the tank.
func (w *writer) yourTank() error {
	if w.q.Tank == nil {
		return nil
	}
	c, err := stocking.JudgeShort(w.book, stocking.Stock{Lines: []stocking.Line{{Index: w.q.Index}}, Tank: w.q.Tank, Wanted: stocking.DefaultWanted, Region: w.q.Region})
	if err != nil {
		return err
	}
	w.Decided = true
	for i := range c.Reasons {
		f := &c.Reasons[i]
		if lawful := f.Code() == stocking.LawForbids || f.Code() == stocking.LawPermit || f.Code() == stocking.LawUnknown; lawful || f.Severity == stocking.Note {
			continue // the law has lines of its own
		}
		w.Decision = max(w.Decision, stocking.DecisionOf(c.Reasons[i:i+1]))
		if w.told(YourTank) < maxTankReasons {
			w.Lines = append(w.Lines, Line{YourTank, *f})
		}
	}
	if w.told(YourTank) == 0 {
		w.add(YourTank, "care.your_tank")
	}
	return nil
}

// told is how many lines there are of a topic.
func (w *writer) told(t Topic) (n int) {
	for i := range w.Lines {
		if w.Lines[i].Topic == t {
			n++
		}
	}
	return n
}

// units of evidence, by water parameter.
var unitOf = [species.NumParameters]string{"C", "pH", "dH", "ppt"}

func (w *writer) water() {
	for p := range species.Parameter(species.NumParameters) {
		r := w.Species.Water[p]
		if !r.Known() || p == species.Salinity && r.Preferred.High <= 0 {
			continue
		}
		w.add(Water, stocking.Code("care.water."+p.String()),
			conflict.Evidence{Name: "low", Value: r.Preferred.Low, Unit: unitOf[p]}, conflict.Evidence{Name: "high", Value: r.Preferred.High, Unit: unitOf[p]})
	}
}

// mostly is the share of its time from which a kind lives at one level.
const mostly = 0.5

// life is what it eats, and where it swims.
func (w *writer) life() {
	if w.Species.Guild != "" {
		w.add(Food, stocking.Code("care.food."+string(w.Species.Guild)))
	}
	if !w.Species.Zones.Known() {
		return
	}
	for z := range species.Zone(species.NumZones) {
		if w.Species.Zones.Share[z] >= mostly {
			w.add(Level, stocking.Code("care.level."+z.String()))
			return
		}
	}
	w.add(Level, "care.level.all")
}

// The grades, 0 to 1, from which a habit is told as one, and as one that may show. Common practice, no source.
const graded, mayShow = 0.6, 0.3

// habits are told of a kind's temper: code as a habit, may as one that may show, or not at all where that is empty.
var habits = [...]struct {
	trait     species.Trait
	code, may stocking.Code
	others    bool // other kinds suffer from it: who has it is not called mild
}{
	{species.Piscivory, "care.eats_fish", "care.may_eat_fish", true},
	{species.FinNipping, "care.nips", "care.may_nip", true},
	{species.Claws, "care.grips", "care.may_grip", true},
	{species.AggressionOwn, "care.fights_own", "", false},
	{species.PlantEating, "care.eats_plants", "", false},
}

func (w *writer) temper() {
	var told []stocking.Code
	harmless := true
	for _, habit := range habits {
		switch grade := w.of(habit.trait).Typical; {
		case grade >= graded:
			told = append(told, habit.code)
		case grade >= mayShow && habit.may != "":
			told = append(told, habit.may)
		default:
			continue
		}
		harmless = harmless && !habit.others
	}
	if v := w.of(species.AggressionOthers); v.Known() && (harmless || conflict.AggressionWord(v.Typical) != conflict.WordMild) {
		w.add(Temper, stocking.Code("care.temper."+string(conflict.AggressionWord(v.Typical))))
	}
	for _, code := range told {
		w.add(Temper, code)
	}
}

// usual orders kinds by how usual they are in the trade.
var usual = map[species.Availability]int{species.EveryShop: -3, species.ManyShops: -2, species.Specialist: -1}

// apart names the kinds that it conflicts with severely, the most usual in the trade first.
func (w *writer) apart() {
	type clash struct {
		of    *species.Species
		score float64
	}
	var severe []clash
	for j := range w.book.Snapshot.Len() {
		other := w.book.Snapshot.At(j)
		if j == w.q.Index || conflict.OneKind(w.Species, other) {
			continue
		}
		if score := w.book.Value(w.q.Index, j); conflict.LevelOf(score) == conflict.Severe {
			severe = append(severe, clash{other, score})
		}
	}
	if len(severe) == 0 {
		return
	}
	slices.SortStableFunc(severe, func(a, b clash) int {
		return cmp.Or(cmp.Compare(usual[a.of.Available], usual[b.of.Available]), cmp.Compare(b.score, a.score))
	})
	w.add(Apart, "care.apart")
	f := &w.Lines[len(w.Lines)-1].Finding
	for _, c := range severe {
		f.Kinds = append(f.Kinds, c.of)
	}
}

// cautions are told but for those of the law, which has lines of its own; with them that it leaves an open tank, and needs land.
func (w *writer) cautions() {
	if stocking.Jumps(w.Species) && !slices.Contains(w.Species.Cautions, species.NeedsAirGap) { // which tells of the lid
		w.add(Caution, "care.jumps")
	}
	if slices.Contains(w.Species.Needs, "land_area") {
		w.add(Caution, "care.land")
	}
	for _, c := range w.Species.Cautions {
		if c != species.Regulated && c != species.Prohibited {
			w.add(Caution, stocking.Code("care.caution."+string(c)))
		}
	}
}

// law says what is on record of the place, and without a place that there may be something.
func (w *writer) law() {
	has := func(c species.Caution) bool { return slices.Contains(w.Species.Cautions, c) }
	place := law.PlaceOf(w.q.Region)
	answer := law.Of(w.book.Law, place, w.Species)
	switch {
	case answer.Hands() == law.Forbidden:
		w.add(Law, "care.law.forbidden")
	case answer.Hands() == law.Permit:
		w.add(Law, "care.law.permit")
	case has(species.Prohibited):
		w.add(Law, "care.law.many")
	case has(species.Regulated):
		w.add(Law, "care.law.some")
	case w.q.Region != "" && !place.Known():
		w.add(Law, "care.law.unknown")
	case w.q.Region != "":
		w.add(Law, "care.law.none")
	}
}
