package lists

import (
	"context"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/budget"
	"commensal/internal/conflict"
	"commensal/internal/slip"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/additions"
	"commensal/internal/stocking/care"
	"commensal/internal/stocking/groupings"
	"commensal/internal/stocking/meanings"
	"commensal/internal/stocking/offers"
	"commensal/internal/stocking/placements"
	"commensal/internal/stocking/remedies"
	"commensal/internal/stocking/wording"

	"github.com/labstack/echo/v4"
)

// CheckList judges a whole list, with or without a tank. Nothing is stored but where a record is
// asked for.
func (s *Lists) CheckList(c echo.Context, p gen.CheckListParams) error {
	in, book, err := asked[gen.CheckRequest](s, c)
	if err != nil {
		return err
	}
	in.Region = s.in(c, in.Region)
	named, err := s.nameCheck(c, s.shelf.ArticlesOf, in)
	if err != nil {
		return err
	}
	stock, err := ReadCheck(book.Snapshot, in)
	if err != nil {
		return err
	}
	q := &Question{Book: book, Stock: stock, Asked: in, US: wire.InUS(p.Units), Text: respond.PrefersText(c.Request())}
	if err := s.LookForOffers(c, q); err != nil {
		return err
	}
	if wire.Value(in.Record) {
		return s.to(c).Send(s.recorder.Record(c, q, in.ExternalRef, nil))
	}
	answer, err := q.Reply(c.Request().Context(), s.desk)
	if err == nil {
		answer.Private = named || q.Private
	}
	return s.to(c).Send(answer, err)
}

// MaxPairings is the most pairings that an answer tells of, about 400 KB.
const MaxPairings = 500

// pairings is how many pairings to tell of.
func (q *Question) pairings() int {
	switch {
	case q.All:
		return stocking.MaxLines * stocking.MaxLines
	case q.Asked.Pairings == nil:
		return MaxPairings
	}
	return int(*q.Asked.Pairings)
}

// Question is a list that is to be judged, as it was understood and as it was asked.
type Question struct {
	Book  *conflict.Book
	Stock stocking.Stock
	Asked *gen.CheckRequest
	US    bool
	Text  bool   // a slip is wanted
	All   bool   // tell of every pairing, to compare it with what was told before
	offer *offer // what may be offered; nil is the whole catalogue
	// Private is set where the answer depends on who asks.
	Private bool
}

// Reply judges the list at the desk and encodes what is said of it.
func (q *Question) Reply(ctx context.Context, desk *work.Desk) (*respond.Reply, error) {
	if q.Short() && q.offers() == 0 {
		return q.replyShort(ctx, desk)
	}
	job, err := desk.Begin(ctx, q.Price())
	if err != nil {
		return nil, err
	}
	defer job.Done()
	on := slates.Get().(*stocking.Slate)
	answer, err := q.toldWithin(job.Budget, on)
	if err != nil {
		return nil, err
	}
	reply, err := q.encode(job, &answer)
	on.Wipe()
	slates.Put(on)
	return reply, err
}

// encode writes a whole answer as it is asked for.
func (q *Question) encode(job *work.Job, answer *told) (*respond.Reply, error) {
	if q.Short() {
		brief := BriefOf(&answer.Check)
		return briefReply(job, &brief, q.Text, func() string { return slip.Check(&brief, slip.Columns) })
	}
	return byAccept(encodedBy(job, func(tighter int) (*respond.Reply, error) {
		slim := answer.slimmer(tighter)
		return slim.reply()
	}))
}

// Price is what judging it is likely to cost.
func (q *Question) Price() int64 {
	price := work.PriceOfCheck(len(q.Stock.Lines), growing(q.Stock.Lines))
	if n := q.offers(); n > 0 {
		price += work.PriceOfAdditions(len(q.Stock.Lines), q.kindsOnOffer(), 2*n, growing(q.Stock.Lines)) + int64(2*n)*work.Pairs(len(q.Stock.Lines)+1)
	}
	return price
}

// Answer judges the list at the desk: all that is said of it.
func (q *Question) Answer(ctx context.Context, desk *work.Desk) (gen.Check, error) {
	job, err := desk.Begin(ctx, q.Price())
	if err != nil {
		return gen.Check{}, err
	}
	defer job.Done()
	answer, err := q.AnswerWithin(job.Budget)
	if err == nil && job.Gone() {
		err = errGone
	}
	return answer, err
}

// AnswerWithin judges the list within a budget.
func (q *Question) AnswerWithin(b *budget.Budget) (gen.Check, error) {
	answer, err := q.toldWithin(b, new(stocking.Slate))
	if err != nil {
		return gen.Check{}, err
	}
	return answer.whole(), nil
}

// toldWithin is [Question.AnswerWithin], whose pairings are not made ready for the contract. The answer stands on a slate.
func (q *Question) toldWithin(b *budget.Budget, on *stocking.Slate) (answer told, err error) {
	q.Stock.Budget = b
	settled, unclear := meanings.Settle(q.Book, q.Stock)
	check, err := stocking.JudgeReadyOn(on, q.Book, &settled)
	if err != nil {
		return told{}, judgeFault(err)
	}
	if b.Stopped() {
		return told{}, errGone
	}
	w := newListWire(q.Book, &settled, len(q.Asked.Residents), q.US)
	w.asked = q.Asked
	answer = w.check(&check, q.pairings())
	w.unclear(&answer.Check, unclear)
	answer.Outlook = w.outlook(&check.Outlook)
	answer.Groupings = w.checkGroupings(groupings.SplitIfHeld(q.Book, settled, &check))
	remedies := remedies.Find(q.Book, settled, &check)
	answer.Remedies, answer.NoRemedy = w.remedies(&remedies)
	return answer, q.addOffers(w, &answer.Check, settled, &check)
}

// ReadCheck reads the list of a check, or tells of everything that is wrong with it.
func ReadCheck(snap *species.Snapshot, in *gen.CheckRequest) (stocking.Stock, error) {
	r := NewReader(snap)
	r.labels, r.setAside = true, wire.Value(in.Unmatched) == gen.SetAside
	stock := stocking.Stock{Lines: r.lines(in.Residents, in.Incoming), Tank: r.Tank(in.Tank), Wanted: wantedOf(in.WantedLevel), Region: wire.Value(in.Region)}
	stock.Others = r.others
	r.pin(stock.Lines, in.Keep)
	r.sizeOfList(len(stock.Lines) + len(stock.Others))
	r.recordRef(in)
	return stock, r.Err()
}

// recordRef refuses a number for a record that is not made, and one that is no line of text.
func (r *Reader) recordRef(in *gen.CheckRequest) {
	r.OneLine("/external_ref", in.ExternalRef)
	if in.ExternalRef != nil && !wire.Value(in.Record) {
		r.Impossible("/external_ref", "/external_ref is for a record, and none is asked for.", "leave it out, or add record")
	}
	if wire.Value(in.ExternalRefUnique) && in.ExternalRef == nil {
		r.Impossible("/external_ref_unique", "/external_ref_unique is about external_ref, and there is none.", "leave it out, or add external_ref")
	}
}

// listWire puts what is said of a list into the words of the wire.
type listWire struct {
	book      *conflict.Book
	words     wording.Words
	tank      *stocking.Tank
	us        bool
	residents int               // lines of the request that are residents
	asked     *gen.CheckRequest // the request of a check, nil for others
	refs      []gen.SpeciesRef
	lines     []stocking.Line
	onOffer   map[int]OnOffer // what is on offer, by position in the snapshot
}

func newListWire(book *conflict.Book, s *stocking.Stock, residents int, us bool) *listWire {
	words := listWords
	if us {
		words = listWordsUS
	}
	return &listWire{book: book, words: words.Remembering(), tank: s.Tank, us: us, residents: residents}
}

// The words for lists, with those of every solver.
var listWords, listWordsUS = withSolvers(wording.English(false)), withSolvers(wording.English(true))

func withSolvers(w wording.Words) wording.Words {
	return w.With(additions.English).With(care.English).With(groupings.English).With(placements.English).With(remedies.English).With(offers.English)
}

// use takes the canonical list that the answer speaks of.
func (w *listWire) use(lines []stocking.Line) {
	w.lines, w.refs = lines, make([]gen.SpeciesRef, len(lines))
	for i := range lines {
		w.refs[i] = wire.SpeciesRef(w.species(i))
	}
}

func (w *listWire) species(line int) *species.Species { return w.book.Snapshot.At(w.lines[line].Index) }
