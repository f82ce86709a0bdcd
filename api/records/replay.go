package records

import (
	"context"
	"errors"
	"slices"
	"time"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/budget"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// ReplayCheck judges a recorded list again with today's catalogue and model, and says what is
// different and why.
func (s *Records) ReplayCheck(c echo.Context, checkID string) error {
	ctx := c.Request().Context()
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	record, err := s.recorded(c, checkID)
	if err != nil {
		return err
	}
	p := &replay{program: s.books.Version, book: book, record: &record}
	if err := errors.Join(wire.DecodeStored(record.Input, &p.input), wire.DecodeStored(record.Answer, &p.then)); err != nil {
		return err
	}
	if p.past, err = s.pastBook(ctx, book, record.Revision); err != nil {
		return err
	}
	return respond.To(c).Send(s.judgeAgain(ctx, p))
}

// judgeAgain judges a record at the desk and words what is different.
func (s *Records) judgeAgain(ctx context.Context, p *replay) (*respond.Reply, error) {
	job, err := s.desk.Begin(ctx, judgedTwice*priceOf(&p.input))
	if err != nil {
		return nil, err
	}
	defer job.Done()
	p.budget = job.Budget
	out, err := p.answer()
	if err != nil {
		return nil, err
	}
	return respond.JSON(out)
}

// maxPast is how many books of older revisions are cached, a few megabytes each.
const maxPast = 2

// pastPatience bounds the reading of an older catalogue.
const pastPatience = 5 * time.Second

// pastBook is the catalogue of a revision under today's model; nil where the database does not have
// it, or this program cannot read it.
func (s *Records) pastBook(ctx context.Context, today *conflict.Book, revision int64) (*conflict.Book, error) {
	if revision == today.Snapshot.Revision() {
		return today, nil
	}
	if book, ok := s.past.Get(revision); ok && book.Model == today.Model {
		return book, nil
	}
	ctx, cancel := context.WithTimeout(ctx, pastPatience)
	defer cancel()
	c, err := s.store.Catalogue(ctx, revision)
	if errors.Is(err, store.ErrUnavailable) {
		return nil, respond.StoreFault(err)
	}
	var snap *species.Snapshot
	if err == nil {
		snap, err = species.NewSnapshot(revision, c)
	}
	if err != nil {
		s.logger.WarnContext(ctx, "a replay does without the catalogue of then", "revision", revision, "error", err)
		return nil, nil
	}
	book := conflict.NewBook(today.Model, snap).UnderLaw(today.Law)
	s.past.Add(revision, book)
	return book, nil
}

// replay is one record, judged again.
type replay struct {
	program string         // that answers today
	book    *conflict.Book // of today
	past    *conflict.Book // today's model on the catalogue of then; nil where there is none
	record  *store.CheckRecord
	input   gen.RecordedInput
	then    gen.Check
	budget  *budget.Budget
}

// priceOf is what judging a recorded list is likely to cost.
func priceOf(in *gen.RecordedInput) int64 {
	grows := false
	for _, l := range slices.Concat(in.Residents, in.Incoming) {
		grows = grows || l.AgeMonths != nil || l.LengthCm != nil
	}
	return work.PriceOfCheck(len(in.Residents)+len(in.Incoming), grows)
}

// judgedTwice is how often a replay judges the list: on the catalogue of then, and on today's.
const judgedTwice = 2

// answer tells then and now apart.
func (p *replay) answer() (gen.CheckReplay, error) {
	out := gen.CheckReplay{
		Id: p.record.ID.String(), DecidedAt: p.record.DecidedAt.UTC(), Outcome: gen.CheckReplayOutcomeNotPossible,
		Then:          replayed(&p.then, p.record.Program),
		Pairings:      []gen.PairingChange{},
		Findings:      []gen.FindingChange{},
		Moved:         p.moved(),
		ChangedValues: []gen.ChangedValue{}, DecisionCauses: []gen.ReplayCause{},
	}
	if gone := goneOf(out.Moved); len(gone) > 0 {
		out.Summary = goneSentence(gone)
		return out, nil
	}
	now, err := judgeOn(p.book, p.todays(out.Moved), p.budget)
	var refused *respond.Fault
	if errors.As(err, &refused) {
		out.Summary = "It cannot be judged again: the list is not one that is accepted today. " + refused.Detail
		return out, nil
	}
	if err != nil {
		return out, err
	}
	return out, p.compare(&out, &now)
}

// compare fills in what is different now.
func (p *replay) compare(out *gen.CheckReplay, now *gen.Check) error {
	why, err := p.causes(now, out.Moved)
	if err != nil {
		return err
	}
	answer := replayed(now, p.program)
	out.Now, out.ChangedValues = &answer, why.values
	d := differencesOf(&p.then, now)
	for _, x := range d.pairings {
		out.Pairings = append(out.Pairings, pairingChange(&x, why))
	}
	for _, x := range d.findings {
		out.Findings = append(out.Findings, findingChange(&x, why))
	}
	if out.DecisionChanged = d.decision; d.decision {
		out.DecisionCauses = why.of(decisionKey, nil)
	}
	out.Outcome = gen.CheckReplayOutcomeSame
	if d.any() {
		out.Outcome = gen.CheckReplayOutcomeChanged
	}
	out.Summary = replaySentence(out)
	return nil
}

func replayed(c *gen.Check, program string) gen.ReplayedAnswer {
	return gen.ReplayedAnswer{Decision: c.Decision, Summary: c.Summary, CatalogueRevision: c.CatalogueRevision,
		ModelVersion: c.ModelVersion, ProgramVersion: program}
}

// judgeOn judges a recorded list on a book, with all pairings, so that those of then are among
// them.
func judgeOn(book *conflict.Book, in *gen.RecordedInput, b *budget.Budget) (gen.Check, error) {
	q, err := asked(book, in)
	if err != nil {
		return gen.Check{}, err
	}
	q.All = true
	return q.AnswerWithin(b)
}
