package rehoming

import (
	"bytes"
	"context"
	"errors"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/budget"
	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/wording"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// What one pass of the screening may do: it runs beside requests, and goes on where the one before ended.
const (
	maxScreened      = 200       // tanks
	maxOrganizations = 100       // looked at
	screenBudget     = 2_000_000 // units of work for one tank
)

// screeningLock is what replicas take turns by.
const screeningLock = "screen tanks"

// Screen judges stored tanks that are not judged on the catalogue and model of today, within the bounds of one
// pass, and notes where the same list is decided otherwise. more reports that there is more to do. While another
// replica is at it, nothing is done. What was judged is stored tank by tank, so that nothing is lost when it is stopped.
func (s *Rehoming) Screen(ctx context.Context) (more bool, err error) {
	book, err := s.books.Book()
	if err != nil {
		return false, nil // nothing can be judged before the first catalogue
	}
	_, err = s.store.Alone(ctx, screeningLock, func(ctx context.Context) error {
		more, err = s.pass(ctx, book)
		return err
	})
	return more, err
}

// pass goes on with the organization behind the last one, round and round.
func (s *Rehoming) pass(ctx context.Context, book *conflict.Book) (more bool, err error) {
	list, err := s.store.Organizations(ctx, s.last, maxOrganizations)
	if err != nil {
		return false, err
	}
	left := maxScreened
	for i := range list {
		o := &list[i]
		on := store.Basis{Revision: book.Snapshot.Revision(), Model: book.Model.Version(), Region: wire.Value(o.Region)}
		work, err := s.store.ToScreen(ctx, o.ID, on, left, stocking.MaxLines)
		if err != nil {
			return false, err
		}
		for k := range work {
			if err := s.screen(ctx, book, o.ID, on, &work[k]); err != nil {
				return false, err
			}
		}
		if left -= len(work); left <= 0 {
			return true, nil // the same organization may have more
		}
		s.last = o.ID
	}
	if len(list) < maxOrganizations {
		s.last = uuid.Nil
		return false, nil
	}
	return true, nil
}

// screen judges one tank. Where only the catalogue or the model is another, the very list of the time before is
// judged again: what is different then is their doing, and not that of a reading or of time.
func (s *Rehoming) screen(ctx context.Context, book *conflict.Book, organization uuid.UUID, on store.Basis, t *store.ToScreen) error {
	asked, err := s.asked(t, on.Region)
	if err != nil {
		return err
	}
	before := &t.Before
	made := store.Screening{Tank: t.Stock.Tank.ID, TankRevision: t.Stock.Tank.Revision, Revision: on.Revision, Model: on.Model, Region: on.Region}
	if made.Input, err = respond.EncodeJSON(asked); err != nil {
		return err
	}
	same := before.Tank != uuid.Nil && before.TankRevision == made.TankRevision && before.Region == made.Region
	var change *store.TankChange
	if same {
		if change, err = s.rejudged(book, on, before); err != nil {
			return err
		}
	}
	verdict, err := verdictOf(book, asked)
	if err != nil {
		return err
	}
	if made.Verdict, err = respond.EncodeJSON(verdict); err != nil {
		return err
	}
	return s.store.SaveScreening(ctx, organization, made, change, !same)
}

// asked is a tank as a check is asked for it.
func (s *Rehoming) asked(t *store.ToScreen, region string) (*gen.CheckRequest, error) {
	description, lines, err := s.tanks.AsGiven(t.Stock)
	if err != nil {
		return nil, err
	}
	return &gen.CheckRequest{Tank: description, Residents: lines, Region: wire.Optional(region)}, nil
}

// rejudged judges the list of the time before; nil where the decision is the same.
func (s *Rehoming) rejudged(book *conflict.Book, on store.Basis, before *store.Screening) (*store.TankChange, error) {
	var asked gen.CheckRequest
	if err := wire.DecodeStored(before.Input, &asked); err != nil {
		return nil, err
	}
	var was gen.TankVerdict
	if err := wire.DecodeStored(before.Verdict, &was); err != nil {
		return nil, err
	}
	now, err := verdictOf(book, &asked)
	if err != nil || now.Decision == was.Decision {
		return nil, err
	}
	out := &store.TankChange{Tank: before.Tank, Revision: on.Revision, Model: on.Model, FromRevision: before.Revision, Before: bytes.Clone(before.Verdict)}
	out.After, err = respond.EncodeJSON(now)
	return out, err
}

// maxReasons is how many reasons of a verdict are kept.
const maxReasons = 20

// verdictOf judges a tank as it is.
func verdictOf(book *conflict.Book, asked *gen.CheckRequest) (gen.TankVerdict, error) {
	v := gen.TankVerdict{Decision: gen.Proceed, Summary: nobodyThere, Reasons: []gen.VerdictReason{},
		CatalogueRevision: book.Snapshot.Revision(), ModelVersion: book.Model.Version()}
	if len(asked.Residents) == 0 {
		return v, nil
	}
	stock, err := lists.ReadCheck(book.Snapshot, asked)
	var unknown *respond.Fault
	if errors.As(err, &unknown) { // a kind that the catalogue has no longer
		v.Decision, v.Summary = gen.Hold, strangers
		for _, e := range unknown.Entries[:min(len(unknown.Entries), maxReasons)] {
			v.Reasons = append(v.Reasons, gen.VerdictReason{Code: "species_unknown", Severity: gen.Stop, Summary: e.Detail})
		}
		return v, nil
	}
	if err != nil {
		return v, err
	}
	stock.Budget = budget.New(screenBudget)
	j := stocking.NewAssessment(book, &stock)
	j.JudgeInFull()
	told := j.Told()
	summary, words := j.Summary(told), wording.English(false)
	v.Decision, v.Summary = gen.Decision(j.Decision.String()), words.Summary(&summary)
	for i := range told {
		if f := &told[i]; f.Severity > stocking.Note && len(v.Reasons) < maxReasons {
			v.Reasons = append(v.Reasons, gen.VerdictReason{Code: string(f.Code()), Severity: gen.Severity(f.Severity.String()), Summary: words.Finding(f)})
		}
	}
	return v, nil
}
