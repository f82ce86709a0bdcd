package rehoming

import (
	"errors"
	"slices"
	"strconv"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/tanks"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/stocking"
	"commensal/internal/stocking/wording"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// AcceptPlacement writes parts of a proposal into their tanks.
func (s *Rehoming) AcceptPlacement(c echo.Context, placementID string, _ gen.AcceptPlacementParams) error {
	in, err := validate.Body[gen.PlacementAcceptanceRequest](c)
	if err != nil {
		return err
	}
	stored, err := s.placement(c, placementID)
	if err != nil {
		return err
	}
	plan, err := planOf(&stored)
	if err != nil {
		return err
	}
	parts, err := plan.parts(in)
	if err != nil {
		return err
	}
	// What speaks against it is told inside the transaction: the repeat of a request that was carried out gets the
	// answer of the first.
	accepted, against := s.prepare(c, plan, parts)
	ctx := c.Request().Context()
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		if against != nil {
			return nil, against
		}
		now, err := tx.AcceptPlacement(ctx, stored.ID, transact.Who(c).Key, accepted, stocking.MaxLines)
		if err != nil {
			return nil, s.overtaken(plan, parts, err)
		}
		return respond.Thing(versionOf(&now), placementWire, now)
	}))
}

// part is an arrival that is to be accepted.
type part struct {
	arrival int
	pointer string // where the request names it
	tank    store.PlacementTank
}

// parts reads what is to be accepted, or tells of everything that cannot be.
func (p *plan) parts(in *gen.PlacementAcceptanceRequest) (parts []part, err error) {
	found := respond.Faults{Malformed: respond.MalformedBody}
	impossible := func(pointer, detail, fix string) {
		found.Impossible = append(found.Impossible, respond.AtField(gen.Body, pointer, detail, fix))
	}
	if in.Arrivals == nil {
		for _, i := range p.open() {
			home, _ := p.home(i)
			parts = append(parts, part{i, "", home})
		}
		if len(parts) == 0 && len(p.Acceptances) == 0 {
			impossible("/arrivals", "The proposal gives nothing to a stored tank.", "name stored tanks by id when you ask for placements")
		}
		return parts, found.Err()
	}
	named := map[int]bool{}
	for k, number := range *in.Arrivals {
		at, i := "/arrivals/"+strconv.Itoa(k), int(number)
		if i >= len(p.answer.Arrivals) {
			impossible(at, "The proposal has no arrival "+strconv.Itoa(i)+".", "count from 0 to "+strconv.Itoa(len(p.answer.Arrivals)-1))
			continue
		}
		home, ok := p.home(i)
		switch {
		case named[i]:
			impossible(at, "The arrival is named twice.", "name it once")
		case !ok && p.answer.Arrivals[i].Tank == nil:
			impossible(at, "The arrival has no place in the proposal.", "leave it out")
		case !ok:
			impossible(at, "The tank that it goes to is not a stored one.", "store the tank, and name it by id when you ask for placements")
		default:
			parts = append(parts, part{i, at, home})
		}
		named[i] = true
	}
	return parts, found.Err()
}

// prepare makes the lines that are to be written, and looks for what speaks against it.
func (s *Rehoming) prepare(c echo.Context, p *plan, parts []part) ([]store.Accepted, error) {
	if err := p.acceptedBefore(parts); err != nil {
		return nil, err
	}
	var ids []uuid.UUID
	for _, a := range parts {
		if !slices.Contains(ids, a.tank.Tank) {
			ids = append(ids, a.tank.Tank)
		}
	}
	now, err := s.stocks(c.Request().Context(), transact.Who(c).Organization, ids, stocking.MaxLines)
	if err != nil {
		return nil, err
	}
	if err := s.moved(p, parts, now); err != nil {
		return nil, err
	}
	if err := s.judge(c, p, parts, now); err != nil {
		return nil, err
	}
	return s.residents(p, parts)
}

// acceptedBefore refuses what was accepted before.
func (p *plan) acceptedBefore(parts []part) error {
	var fields []gen.FieldError
	for _, a := range parts {
		if p.accepted[a.arrival] {
			fields = append(fields, respond.AtField(gen.Body, a.pointer, "Arrival "+strconv.Itoa(a.arrival)+" was accepted before.", "read the proposal again"))
		}
	}
	if len(fields) == 0 && len(parts) > 0 {
		return nil
	}
	f := &respond.Fault{Slug: respond.AlreadyAccepted, Detail: "All that the proposal gives to stored tanks was accepted before."}
	if len(fields) > 0 {
		f.Detail, f.Entries = respond.Sentence(fields), fields
	}
	return f
}

// linesOf are the lines of an arrival as they join a tank: as old as they are by now.
func (s *Rehoming) linesOf(p *plan, arrival int) []gen.LineInput {
	var out []gen.LineInput
	for _, i := range p.answer.Arrivals[arrival].Lines {
		l := p.input.Incoming[i]
		l.Keep, l.Weight = nil, nil // they are for the search alone
		if l.AgeMonths != nil {
			age := min(tanks.MaxAgeMonths, *l.AgeMonths+tanks.MonthsSince(p.MadeAt, s.now()))
			l.AgeMonths = &age
		}
		out = append(out, l)
	}
	return out
}

// residents are the lines that are to be written.
func (s *Rehoming) residents(p *plan, parts []part) (out []store.Accepted, err error) {
	for _, a := range parts {
		to := store.Accepted{Arrival: a.arrival, Tank: a.tank.Tank}
		for _, l := range s.linesOf(p, a.arrival) {
			text, err := respond.EncodeJSON(l)
			if err != nil {
				return nil, err
			}
			to.Residents = append(to.Residents, store.Resident{Species: l.Species, Line: text})
		}
		out = append(out, to)
	}
	return out, nil
}

// judge judges the tanks with what they are to get, on the catalogue of today and with their latest readings, and
// refuses what is a hold by now.
func (s *Rehoming) judge(c echo.Context, p *plan, parts []part, now map[uuid.UUID]store.Stock) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	var fields []gen.FieldError
	done := map[uuid.UUID]bool{}
	for _, first := range parts {
		if done[first.tank.Tank] {
			continue
		}
		done[first.tank.Tank] = true
		asked, err := s.joining(p, parts, first.tank, now[first.tank.Tank])
		if err != nil {
			return err
		}
		stock, err := lists.ReadCheck(book.Snapshot, asked)
		var unknown *respond.Fault
		if errors.As(err, &unknown) {
			fields = append(fields, respond.AtField(gen.Body, first.pointer, p.nameOf(first.tank.Position)+": the catalogue of today does not know all of its kinds as they are named.", askAnew))
			continue
		} else if err != nil {
			return err
		}
		job, err := s.lists.Desk().Begin(c.Request().Context(), work.PriceOfCheck(len(stock.Lines), true))
		if err != nil {
			return err
		}
		stock.Budget = job.Budget
		check, err := stocking.Judge(book, stock)
		job.Done()
		if err != nil {
			return err
		}
		if check.Decision == stocking.Hold {
			fields = append(fields, respond.AtField(gen.Body, first.pointer, p.nameOf(first.tank.Position)+" would be on hold by now. "+wording.English(false).Summary(&check.Summary), askAnew))
		}
	}
	return outdated(fields)
}

// joining is the check of a tank with all that it is to get.
func (s *Rehoming) joining(p *plan, parts []part, tank store.PlacementTank, now store.Stock) (*gen.CheckRequest, error) {
	description, lines, err := s.tanks.AsGiven(now)
	if err != nil {
		return nil, err
	}
	incoming := []gen.LineInput{}
	for _, a := range parts {
		if a.tank.Tank == tank.Tank {
			incoming = append(incoming, s.linesOf(p, a.arrival)...)
		}
	}
	return &gen.CheckRequest{Tank: description, Residents: lines, Incoming: &incoming, WantedLevel: p.input.WantedLevel, Region: p.input.Region}, nil
}

// outdated is the problem of a proposal that is no longer good; nil where nothing speaks against it.
func outdated(fields []gen.FieldError) error {
	if len(fields) == 0 {
		return nil
	}
	return &respond.Fault{Slug: respond.PlacementOutdated, Detail: respond.Sentence(fields), Entries: respond.First(fields)}
}

// overtaken is the problem of who was overtaken between looking and writing.
func (s *Rehoming) overtaken(p *plan, parts []part, err error) error {
	var accepted *store.AlreadyAcceptedError
	var moved *store.MovedTanksError
	switch {
	case errors.As(err, &accepted):
		for _, i := range accepted.Arrivals {
			p.accepted[i] = true
		}
		return p.acceptedBefore(parts)
	case errors.As(err, &moved):
		var fields []gen.FieldError
		for _, a := range parts {
			if slices.Contains(moved.Tanks, a.tank.Tank) {
				fields = append(fields, respond.AtField(gen.Body, a.pointer, p.nameOf(a.tank.Position)+" has been changed this moment.", askAnew))
			}
		}
		return outdated(fields)
	}
	return err
}

// nameOf is what a sentence calls a tank of the request.
func (p *plan) nameOf(position int) string {
	t := &p.input.Tanks[position]
	for _, name := range []*string{t.Label, t.ExternalRef} {
		if name != nil {
			return *name
		}
	}
	return "Tank " + wire.Value(t.Id)
}
