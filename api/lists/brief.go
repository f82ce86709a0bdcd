package lists

import (
	"context"
	"net/http"
	"sync"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/budget"
	"commensal/internal/slip"
	"commensal/internal/stocking"
	"commensal/internal/stocking/meanings"
)

const (
	// maxBriefReasons is how many reasons the short form tells of.
	maxBriefReasons = 5
	// MaxBrief is how many bytes the short form has for an ordinary list: reasons give way, the
	// last first, but never the gravest.
	MaxBrief = 1536
)

// Short reports whether the short form is asked for: as such, or as a slip. Offers make it as dear as the full answer.
func (q *Question) Short() bool { return q.Text || wire.Value(q.Asked.Detail) == gen.Brief }

// replyShort judges the list at the desk, and works out no more than the short form tells.
func (q *Question) replyShort(ctx context.Context, desk *work.Desk) (*respond.Reply, error) {
	job, err := desk.Begin(ctx, work.PriceOfShortCheck(len(q.Stock.Lines), growing(q.Stock.Lines)))
	if err != nil {
		return nil, err
	}
	defer job.Done()
	answer, err := q.shortWithin(job.Budget)
	if err != nil {
		return nil, err
	}
	if job.Gone() {
		return nil, errGone
	}
	if q.Text {
		return byAccept(respond.Text(slip.Check(&answer.BriefCheck, slip.Columns)), nil)
	}
	return byAccept(answer.reply())
}

// briefReply answers with a short form, as a slip where that is wanted.
func briefReply(job *work.Job, value any, text bool, laidOut func() string) (*respond.Reply, error) {
	if job.Gone() {
		return nil, errGone
	}
	if text {
		return byAccept(respond.Text(laidOut()), nil)
	}
	return byAccept(respond.JSON(value))
}

// byAccept marks an answer that depends on what the request accepts.
func byAccept(answer *respond.Reply, err error) (*respond.Reply, error) {
	if err == nil {
		answer.Vary = "Accept"
	}
	return answer, err
}

// ShortWithin judges the list within a budget, for the short form.
func (q *Question) ShortWithin(b *budget.Budget) (gen.BriefCheck, error) {
	answer, err := q.shortWithin(b)
	return answer.BriefCheck, err
}

// shortWithin is [Question.ShortWithin], with the text where that was made.
func (q *Question) shortWithin(b *budget.Budget) (briefText, error) {
	q.Stock.Budget = b
	settled, unclear := meanings.Settle(q.Book, q.Stock)
	on := slates.Get().(*stocking.Slate)
	check, err := stocking.JudgeShortOn(on, q.Book, settled)
	if err != nil {
		return briefText{}, judgeFault(err)
	}
	w := newListWire(q.Book, &settled, len(q.Asked.Residents), q.US)
	w.asked = q.Asked
	out := w.short(&check, unclear) // in words of its own: nothing of it stands on the slate
	on.Wipe()
	slates.Put(on)
	return out, nil
}

// slates are what lists were judged on, wiped. One that a panic went past is not among them.
var slates = sync.Pool{New: func() any { return new(stocking.Slate) }}

// short is the short form on the wire. Only the sentences that it tells are made.
func (w *listWire) short(c *stocking.Short, unclear []meanings.Unclear) briefText {
	w.lines = c.Lines
	out := gen.BriefCheck{
		Decision: gen.Decision(c.Decision.String()), TankDecision: gen.Decision(c.TankDecision.String()), Summary: w.words.Summary(&c.Summary),
		Ask: askedFirst(w.unclearAsked(unclear), w.questions(c.Ask)), FurtherReasons: len(c.Reasons),
		ModelVersion: w.book.Model.Version(), CatalogueRevision: w.book.Snapshot.Revision(),
	}
	out.Reasons = make([]gen.BriefReason, 0, min(len(c.Reasons), maxBriefReasons)) // never nil
	for i := range c.Reasons[:cap(out.Reasons)] {
		f := &c.Reasons[i]
		out.Reasons = append(out.Reasons, gen.BriefReason{Code: string(f.Code()), Severity: gen.Severity(f.Severity.String()),
			Existing: wire.Present(f.Existing), Refs: w.refsOf(f), Summary: w.words.Finding(f)})
	}
	return withinBrief(out)
}

// BriefOf is the short form of a whole answer.
func BriefOf(c *gen.Check) gen.BriefCheck {
	out := gen.BriefCheck{
		Decision: c.Decision, TankDecision: c.TankDecision, Summary: c.Summary, Ask: c.Ask, FurtherReasons: len(c.Findings) + c.FurtherFindings,
		Reasons: []gen.BriefReason{}, ModelVersion: c.ModelVersion, CatalogueRevision: c.CatalogueRevision,
	}
	for i := range c.Findings[:min(len(c.Findings), maxBriefReasons)] {
		f := &c.Findings[i]
		out.Reasons = append(out.Reasons, gen.BriefReason{Code: f.Code, Severity: f.Severity, Existing: wire.Present(f.Existing), Refs: f.Refs, Summary: f.Summary})
	}
	if c.Offers != nil {
		offers := (*c.Offers)[:min(len(*c.Offers), maxBriefOffers)]
		out.Offers, out.NoOffers = &offers, c.NoOffers
	}
	return withinBrief(out).BriefCheck
}

// maxBriefOffers is how many offers the short form tells of.
const maxBriefOffers = 3

// briefText is a check in brief, and the same as it is sent where that was made already.
type briefText struct {
	gen.BriefCheck
	text []byte
}

func (b *briefText) reply() (*respond.Reply, error) {
	if b.text == nil {
		return respond.JSON(&b.BriefCheck)
	}
	return &respond.Reply{Status: http.StatusOK, Media: respond.JSONType, Body: b.text}, nil
}

// withinBrief leaves reasons out from the end until the rest is short, and counts them; FurtherReasons
// is the number of all.
func withinBrief(c gen.BriefCheck) briefText {
	all := c.FurtherReasons
	for {
		c.FurtherReasons = all - len(c.Reasons)
		if len(c.Reasons) <= 1 {
			return briefText{BriefCheck: c}
		}
		text, err := respond.EncodeJSON(&c)
		switch {
		case err != nil:
			return briefText{BriefCheck: c}
		case len(text) <= MaxBrief:
			return briefText{c, text}
		}
		c.Reasons = c.Reasons[:len(c.Reasons)-1]
	}
}
