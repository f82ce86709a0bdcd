package lists

import (
	"context"

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
	answer, err := q.ShortWithin(job.Budget)
	if err != nil {
		return nil, err
	}
	return briefReply(job, &answer, q.Text, func() string { return slip.Check(&answer, slip.Columns) })
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
	q.Stock.Budget = b
	settled, unclear := meanings.Settle(q.Book, q.Stock)
	check, err := stocking.JudgeShort(q.Book, settled)
	if err != nil {
		return gen.BriefCheck{}, judgeFault(err)
	}
	w := newListWire(q.Book, &settled, len(q.Asked.Residents), q.US)
	w.asked = q.Asked
	return w.short(&check, unclear), nil
}

// short is the short form on the wire. Only the sentences that it tells are made.
func (w *listWire) short(c *stocking.Short, unclear []meanings.Unclear) gen.BriefCheck {
	w.lines = c.Lines
	out := gen.BriefCheck{
		Decision: gen.Decision(c.Decision.String()), TankDecision: gen.Decision(c.TankDecision.String()), Summary: w.words.Summary(&c.Summary),
		Ask: askedFirst(w.unclearAsked(unclear), w.questions(c.Ask)), FurtherReasons: len(c.Reasons),
		Reasons:      []gen.BriefReason{},
		ModelVersion: w.book.Model.Version(), CatalogueRevision: w.book.Snapshot.Revision(),
	}
	for i := range c.Reasons[:min(len(c.Reasons), maxBriefReasons)] {
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
	return withinBrief(out)
}

// maxBriefOffers is how many offers the short form tells of.
const maxBriefOffers = 3

// withinBrief leaves reasons out from the end until the rest is short, and counts them; FurtherReasons
// is the number of all.
func withinBrief(c gen.BriefCheck) gen.BriefCheck {
	all := c.FurtherReasons
	for {
		c.FurtherReasons = all - len(c.Reasons)
		if len(c.Reasons) <= 1 || fitsBrief(&c) {
			return c
		}
		c.Reasons = c.Reasons[:len(c.Reasons)-1]
	}
}
