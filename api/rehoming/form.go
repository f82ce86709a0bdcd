package rehoming

import (
	"encoding/json"
	"strconv"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/wording"
	"commensal/internal/units"

	"github.com/labstack/echo/v4"
)

// ReadAdopterForm reads an adopter's answers as a tank.
func (s *Rehoming) ReadAdopterForm(c echo.Context, p gen.ReadAdopterFormParams) error {
	in, err := validate.Body[gen.AdopterForm](c)
	if err != nil {
		return err
	}
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	f := &form{Reader: lists.NewReader(book.Snapshot), book: book, in: in, words: wording.English(wire.InUS(p.Units))}
	if err := f.read(); err != nil {
		return err
	}
	return respond.To(c).Send(s.formRead(c, f))
}

// formRead judges the tank of a form as it is, and answers.
func (s *Rehoming) formRead(c echo.Context, f *form) (*respond.Reply, error) {
	out := gen.AdopterFormRead{Tank: f.tank, Assumed: f.assumed, Ask: f.ask, Summary: nobodyThere,
		CatalogueRevision: f.book.Snapshot.Revision(), ModelVersion: f.book.Model.Version()}
	if len(wire.Value(f.tank.Residents)) == 0 {
		return respond.JSON(out)
	}
	stock, err := lists.ReadCheck(f.book.Snapshot, &gen.CheckRequest{Tank: &f.tank.Tank, Residents: *f.tank.Residents, Region: f.in.Region})
	if err != nil {
		return nil, err
	}
	job, err := s.lists.Desk().Begin(c.Request().Context(), work.PriceOfCheck(len(stock.Lines), true))
	if err != nil {
		return nil, err
	}
	defer job.Done()
	stock.Budget = job.Budget
	check, err := stocking.Judge(f.book, stock)
	if err != nil {
		return nil, err
	}
	decision := gen.Decision(check.Decision.String())
	out.Decision, out.Summary = &decision, f.words.Summary(&check.Summary)
	return respond.JSON(out)
}

// form is an adopter's form while it is read.
type form struct {
	*lists.Reader
	book    *conflict.Book
	in      *gen.AdopterForm
	words   wording.Words
	tank    gen.NewTank
	assumed []gen.Assumption
	ask     []gen.FormQuestion
}

// read reads the answers, or tells of everything that is wrong with them.
func (f *form) read() error {
	f.assumed, f.ask = []gen.Assumption{}, []gen.FormQuestion{}
	f.OneLine("/label", f.in.Label)
	f.OneLine("/external_ref", f.in.ExternalRef)
	f.tank = gen.NewTank{Label: f.in.Label, ExternalRef: f.in.ExternalRef}
	f.size()
	residents := f.typed()
	for i := range wire.Value(f.in.Residents) {
		residents = f.line(residents, "/residents/"+strconv.Itoa(i), (*f.in.Residents)[i])
	}
	if len(residents) > maxResidents {
		f.Impossible("/residents", "More than "+strconv.Itoa(maxResidents)+" lines live there.", "take lines together")
	}
	if len(residents) > 0 {
		f.tank.Residents = &residents
	}
	f.water()
	f.equipment()
	f.tank.Wishes = f.StoredWishes("/wishes", f.in.Wishes)
	return f.Err()
}

// maxResidents is how many lines a tank of placements may have.
const maxResidents = 100

// assume names something that was taken for granted.
func (f *form) assume(code, text string) {
	f.assumed = append(f.assumed, gen.Assumption{Code: code, Summary: text})
}

// assumeOf names something that the words for lists have a sentence for.
func (f *form) assumeOf(s conflict.Statement) {
	a := gen.Assumption{Code: string(s.Code), Summary: f.words.Sentence(s)}
	if s.Actor != nil {
		a.Species = wire.Optional(string(s.Actor.ID))
	}
	f.assumed = append(f.assumed, a)
}

// question is something worth asking the adopter.
func (f *form) question(field string) {
	f.ask = append(f.ask, gen.FormQuestion{Field: field, Question: questions[field]})
}

// size reads how large the tank is: its sides, or what it holds.
func (f *form) size() {
	if f.in.Tank == nil {
		f.question("tank")
		return
	}
	size, litres, fault := readSize(*f.in.Tank)
	switch {
	case fault != nil:
		f.Impossible("/tank", "The size of the tank cannot be: "+fault.What+".", fault.Fix)
	case size != "":
		f.tank.Tank.Size = &size
	case litres > 0:
		volume := quantity(litres)
		f.tank.Tank.VolumeL = &volume
		shape := stocking.CustomaryShape(litres)
		f.assumeOf(conflict.Statement{Code: stocking.AssumedShape, Evidence: []conflict.Evidence{{Name: "volume", Value: litres, Unit: "L"},
			{Name: "length", Value: shape.LengthCM, Unit: "cm"}, {Name: "width", Value: shape.WidthCM, Unit: "cm"}, {Name: "height", Value: shape.HeightCM, Unit: "cm"}}})
	default:
		f.Impossible("/tank", "The size of the tank is blank.", "write its sides or its litres, or leave it out")
	}
}

// quantity is a number as a quantity of the wire.
func quantity(x float64) gen.Quantity { return json.RawMessage(wire.Plain(x)) }

// water reads what was measured. A tank without a heater is as warm as its room.
func (f *form) water() {
	t := &f.tank.Tank
	t.TemperatureC, t.Ph, t.GhDh = f.in.TemperatureC, f.in.Ph, f.in.GhDh
	for w, raw := range [...]*gen.Quantity{t.TemperatureC, t.Ph, t.GhDh} {
		p := wire.WaterParameters[w]
		f.Quantity("", string(p.Name), raw, p.Quantity)
	}
	switch heated := f.in.Heater; {
	case t.TemperatureC != nil:
	case heated != nil && !*heated:
		room := quantity(units.RoomTemperatureC)
		t.TemperatureC = &room
		f.assume(assumedRoom, roomSentence(f.words))
	default:
		f.question("temperature_c")
	}
}

// equipment reads lid, filter, plants and floor.
func (f *form) equipment() {
	t := &f.tank.Tank
	t.Lid, t.Planted = f.in.Lid, f.in.Planted
	if f.in.Lid == nil {
		f.question("lid")
	}
	if f.in.Floor != nil {
		floor := gen.TankInputSubstrate(*f.in.Floor)
		t.Substrate = &floor
	}
	switch has, months := f.in.Filter, f.in.FilterMonths; {
	case has != nil && !*has && months != nil:
		f.Impossible("/filter_months", "There is no filter, and it has been running for some months.", "leave out filter_months, or say that there is a filter")
	case has != nil && !*has:
		unripe := false
		t.FilterMature = &unripe
		f.assume(assumedNoFilter, withoutFilter)
	case months != nil:
		mature := *months >= matureMonths
		t.FilterMature = &mature
	case has == nil:
		f.question("filter")
	default:
		f.question("filter_months")
	}
}

// matureMonths is from when on a filter has run in, as the page /adopt asks.
const matureMonths = 2

// line reads one line, with its kind by id and its number filled in.
func (f *form) line(out []gen.LineInput, at string, in gen.LineInput) []gen.LineInput {
	l := f.Numbers(at, &in)
	l.Index = f.kind(at, in.Species, l.LengthCM)
	if l.Index < 0 {
		return out
	}
	sp := f.book.Snapshot.At(l.Index)
	f.sexOf(&in)
	in.Species = string(sp.ID)
	if in.Count == nil {
		n := stocking.FishIn(f.book, &l)
		count := float64(n)
		in.Count = &count
		f.assumeOf(conflict.Statement{Code: stocking.AssumedCount, Actor: sp, Evidence: []conflict.Evidence{{Name: "count", Value: float64(n), Unit: "fish"}}})
	}
	return append(out, in)
}

// nameAt is where the name of a line stands: what is typed is one text.
func nameAt(line string) string {
	if line == livesThere {
		return line
	}
	return line + "/species"
}

// sexOf takes the sex that a name says, as in "female betta", where the line does not say it.
func (f *form) sexOf(in *gen.LineInput) {
	if label, err := f.book.Snapshot.ReadLabel(in.Species); err == nil && label.Clear() && in.Sex == nil && label.Sex != species.Unsexed {
		sex := gen.Sex(label.Sex.String())
		in.Sex = &sex
	}
}

// kind is the kind that a line means; -1 where it does not mean one, which the reader tells of. Where a
// word means several and a length is given, the only one that grows so long is meant.
func (f *form) kind(at, name string, length float64) int {
	label, err := f.book.Snapshot.ReadLabel(name)
	if err != nil || label.Clear() || length == 0 {
		return f.Species(nameAt(at), name)
	}
	only := -1
	for _, m := range label.Meanings {
		if v := f.book.Snapshot.At(m.Index).Traits[species.Length]; !v.Known() || v.High < length {
			continue
		}
		if only >= 0 {
			return f.Species(nameAt(at), name) // several grow so long: the name is not clear
		}
		only = m.Index
	}
	if only < 0 {
		return f.Species(nameAt(at), name)
	}
	sp := f.book.Snapshot.At(only)
	f.assumed = append(f.assumed, gen.Assumption{Code: assumedBySize, Species: wire.Optional(string(sp.ID)),
		Summary: strconv.Quote(validate.Printable(name)) + " of " + wire.Plain(length) + " cm is taken as " + species.Spoken(sp.VernacularName("en")) + ": nothing else of that name grows so long."})
	return only
}
