package tanks

import (
	"crypto/sha256"
	"encoding/json"
	"slices"
	"time"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// CheckTank judges a stored tank as it is.
func (s *Tanks) CheckTank(c echo.Context, tankID string, p gen.CheckTankParams) error {
	us := wire.InUS(p.Units)
	return respond.To(c).Send(s.checkStored(c, tankID, &gen.TankCheckRequest{WantedLevel: p.WantedLevel, Region: p.Region, Detail: p.Detail}, us))
}

// CheckTankWithIncoming judges a stored tank with what is about to join.
func (s *Tanks) CheckTankWithIncoming(c echo.Context, tankID string, p gen.CheckTankWithIncomingParams) error {
	in, err := validate.Body[gen.TankCheckRequest](c)
	if err != nil {
		return err
	}
	us := wire.InUS(p.Units)
	return respond.To(c).Send(s.checkStored(c, tankID, in, us))
}

// checkStored reads a tank, and then judges it outside the transaction: a connection is
// not held while the core computes. The answer to the same state of a tank is cached, for
// a screen at the counter that asks again and again.
func (s *Tanks) checkStored(c echo.Context, tank string, in *gen.TankCheckRequest, us bool) (*respond.Reply, error) {
	book, err := s.books.Book()
	if err != nil {
		return nil, err
	}
	if _, err := s.lists.NameArticles(c, lists.LinesAt("/incoming", wire.Value(in.Incoming))); err != nil {
		return nil, err
	}
	stored, err := s.stock(c, tank)
	if err != nil {
		return nil, err
	}
	description, lines, err := s.AsGiven(stored)
	if err != nil {
		return nil, err
	}
	region := in.Region
	if region == nil {
		region = wire.Optional(s.Region(c))
	}
	request := &gen.CheckRequest{Tank: description, Residents: lines, Incoming: in.Incoming, Keep: in.Keep, WantedLevel: in.WantedLevel,
		Record: in.Record, ExternalRef: in.ExternalRef, ExternalRefUnique: in.ExternalRefUnique, Unmatched: in.Unmatched, Region: region, Detail: in.Detail, Offers: in.Offers, OfferFrom: in.OfferFrom}
	if wire.Value(in.Record) {
		return s.recordStored(c, book, request, &stored, us)
	}
	text := respond.PrefersText(c.Request())
	if wire.Value(in.Offers) > 0 { // the stock is another at every moment
		return s.judgeStored(c, book, request, &stored.Water, us, text)
	}
	key, err := stateOf(transact.Who(c).Organization, request, &stored.Water, us, text)
	if err != nil {
		return nil, err
	}
	if before, ok := s.lists.Cache().Get(book, key); ok {
		return before, nil
	}
	answer, err := s.judgeStored(c, book, request, &stored.Water, us, text)
	if err == nil && !slices.ContainsFunc(lines, growsOlder) {
		s.lists.Cache().Put(book, key, answer.Prepare())
	}
	return answer, err
}

// growsOlder reports a line whose age is another at every moment: an answer about it is
// never asked for again.
func growsOlder(l gen.LineInput) bool { return l.AgeMonths != nil }

// stateOf tells what is judged from all else. The organization is part of it, so that
// nobody can tell by the time it takes what another has asked.
func stateOf(whose uuid.UUID, request *gen.CheckRequest, water *store.Water, us, slip bool) (key lists.Key, err error) {
	text, err := json.Marshal([]any{whose, request, water, us, slip})
	return sha256.Sum256(text), err
}

func (s *Tanks) judgeStored(c echo.Context, book *conflict.Book, request *gen.CheckRequest, water *store.Water, us, text bool) (*respond.Reply, error) {
	q, err := s.askedOfStored(c, book, request, water, us)
	if err != nil {
		return nil, err
	}
	q.Text = text
	return q.Reply(c.Request().Context(), s.lists.Desk())
}

// recordStored records the check of a stored tank.
func (s *Tanks) recordStored(c echo.Context, book *conflict.Book, request *gen.CheckRequest, stored *store.Stock, us bool) (*respond.Reply, error) {
	q, err := s.askedOfStored(c, book, request, &stored.Water, us)
	if err != nil {
		return nil, err
	}
	q.Text = respond.PrefersText(c.Request())
	return s.recorder.Record(c, q, request.ExternalRef, &stored.Tank.ID)
}

func (s *Tanks) askedOfStored(c echo.Context, book *conflict.Book, request *gen.CheckRequest, water *store.Water, us bool) (*lists.Question, error) {
	stock, err := lists.ReadCheck(book.Snapshot, request)
	if err != nil {
		return nil, err
	}
	if stock.Tank != nil {
		stock.Tank.Swings = swingsOf(water)
	}
	q := &lists.Question{Book: book, Stock: stock, Asked: request, US: us}
	return q, s.lists.LookForOffers(c, q)
}

// RankTankAdditions ranks what could join a stored tank.
func (s *Tanks) RankTankAdditions(c echo.Context, tankID string, p gen.RankTankAdditionsParams) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	stored, err := s.stock(c, tankID)
	if err != nil {
		return err
	}
	description, lines, err := s.AsGiven(stored)
	if err != nil {
		return err
	}
	in, err := additionsAsked(book.Snapshot, &p)
	if err != nil {
		return err
	}
	in.Tank, in.Residents, in.Detail = description, lines, p.Detail
	if in.Region == nil {
		in.Region = wire.Optional(s.Region(c))
	}
	return respond.To(c).Send(s.lists.Rank(c, book, in, wire.InUS(p.Units), respond.PrefersText(c.Request())))
}

// additionsAsked puts the query into the body of POST /v1/additions.
func additionsAsked(snap *species.Snapshot, p *gen.RankTankAdditionsParams) (*gen.AdditionsRequest, error) {
	in := &gen.AdditionsRequest{WantedLevel: p.WantedLevel, InsteadOf: p.InsteadOf, OfferFrom: p.OfferFrom, Region: p.Region}
	if p.InsteadOf != nil {
		if _, err := wire.ResolveAll(snap, wire.InQuery("instead_of", *p.InsteadOf)); err != nil {
			return nil, err
		}
	}
	if p.Limit != nil {
		limit := float64(*p.Limit)
		in.Limit = &limit
	}
	f := gen.AdditionFilters{Family: p.Family, Zone: p.Zone}
	if p.MaxLengthCm != nil {
		found := respond.Faults{Malformed: respond.MalformedParameter}
		x, _ := wire.ResidentLength.ReadAt(wire.QuerySpot("max_length_cm"), *p.MaxLengthCm, &found)
		if err := found.Err(); err != nil {
			return nil, err
		}
		text := gen.Quantity(wire.Plain(x))
		f.MaxLengthCm = &text
	}
	in.Filters = &f
	return in, nil
}

// stock reads a tank with its residents and what is known of its water.
func (s *Tanks) stock(c echo.Context, tank string) (stored store.Stock, err error) {
	id, err := respond.ParseID(tank)
	if err != nil {
		return stored, respond.StoreFault(err)
	}
	if s.store == nil {
		return stored, respond.ErrDatabaseAway
	}
	stored, err = s.store.Stock(c.Request().Context(), transact.Who(c).Organization, id, stocking.MaxLines)
	return stored, respond.StoreFault(err)
}

// AsGiven is a stored tank as a list is given: with the latest readings, and every fish
// as old as it is by now.
func (s *Tanks) AsGiven(stored store.Stock) (*gen.TankInput, []gen.LineInput, error) {
	var tank gen.TankInput
	if err := wire.DecodeStored(stored.Tank.Description, &tank); err != nil {
		return nil, nil, err
	}
	latestReadings(&tank, &stored.Water)
	lines := make([]gen.LineInput, len(stored.Residents))
	for i, r := range stored.Residents {
		if err := wire.DecodeStored(r.Line, &lines[i]); err != nil {
			return nil, nil, err
		}
		if age := lines[i].AgeMonths; age != nil {
			*age = min(MaxAgeMonths, *age+MonthsSince(r.StatedAt, s.now()))
		}
	}
	return &tank, lines, nil
}

// MaxAgeMonths is the greatest age that the contract knows.
const MaxAgeMonths = 1440

// daysInMonth is the mean of the Gregorian calendar.
const daysInMonth = 30.436875

// MonthsSince counts months that have passed, never below none.
func MonthsSince(then, now time.Time) float64 {
	return max(0, now.Sub(then).Hours()/24/daysInMonth)
}
