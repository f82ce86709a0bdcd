package lists

import (
	"context"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/budget"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/groupings"
	"commensal/internal/stocking/placements"
	"commensal/internal/stocking/remedies"
)

// PostChecks judges a whole list, with or without a tank. Nothing is stored but where a record is
// asked for.
func (s *Lists) PostChecks(ctx context.Context, r gen.PostChecksRequestObject) (gen.PostChecksResponseObject, error) {
	book, err := s.books.Book()
	if err != nil {
		return nil, err
	}
	stock, err := ReadCheck(book.Snapshot, r.Body)
	if err != nil {
		return nil, err
	}
	us := r.Params.Units != nil && *r.Params.Units == gen.PostChecksParamsUnitsUs
	q := Question{Book: book, Stock: stock, Residents: len(r.Body.Residents), US: us, Pairings: pairingsAsked(r.Body.Pairings)}
	if wire.Value(r.Body.Record) {
		return s.recorder.Record(ctx, &q, r.Body.ExternalRef, nil)
	}
	return q.Reply(ctx, s.desk)
}

// MaxPairings is the most pairings that an answer tells of, about 400 KB.
const MaxPairings = 500

// pairingsAsked is how many pairings to tell of.
func pairingsAsked(most *float64) int {
	if most == nil {
		return MaxPairings
	}
	return int(*most)
}

// Question is a list that is to be judged, its first lines residents.
type Question struct {
	Book      *conflict.Book
	Stock     stocking.Stock
	Residents int
	US        bool
	Pairings  int // how many to tell of
}

// Reply judges the list at the desk and encodes what is said of it.
func (q *Question) Reply(ctx context.Context, desk *work.Desk) (*respond.Reply, error) {
	job, err := desk.Begin(ctx, q.Price())
	if err != nil {
		return nil, err
	}
	defer job.Done()
	answer, err := q.AnswerWithin(job.Budget)
	if err != nil {
		return nil, err
	}
	return encoded(job, func(tighter int) any { return slimmer(answer, tighter) })
}

// Price is what judging it is likely to cost.
func (q *Question) Price() int64 {
	return work.PriceOfCheck(len(q.Stock.Lines), growing(q.Stock.Lines))
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
	q.Stock.Budget = b
	check, err := stocking.Judge(q.Book, q.Stock)
	if err != nil {
		return gen.Check{}, judgeFault(err)
	}
	w := newListWire(q.Book, &q.Stock, q.Residents, q.US)
	answer := w.check(&check, q.Pairings)
	answer.Outlook = w.outlook(&check.Outlook)
	answer.Groupings = w.checkGroupings(groupings.SplitIfHeld(q.Book, q.Stock, &check))
	remedies := remedies.Find(q.Book, q.Stock, &check)
	answer.Remedies, answer.NoRemedy = w.remedies(&remedies)
	return answer, nil
}

// ReadCheck reads the list of a check, or tells of everything that is wrong with it.
func ReadCheck(snap *species.Snapshot, in *gen.CheckRequest) (stocking.Stock, error) {
	r := NewReader(snap)
	stock := stocking.Stock{Lines: r.lines(in.Residents, in.Incoming), Tank: r.Tank(in.Tank), Wanted: wantedOf(in.WantedLevel)}
	r.pin(stock.Lines, in.Keep)
	r.sizeOfList(len(stock.Lines))
	r.recordRef(in)
	return stock, r.Err()
}

// recordRef refuses a number for a record that is not made, and one that is no line of text.
func (r *Reader) recordRef(in *gen.CheckRequest) {
	r.OneLine("/external_ref", in.ExternalRef)
	if in.ExternalRef != nil && !wire.Value(in.Record) {
		r.Impossible("/external_ref", "/external_ref is for a record, and none is asked for.", "leave it out, or add record")
	}
}

// listWire puts what is said of a list into the words of the wire.
type listWire struct {
	book      *conflict.Book
	words     stocking.Words
	tank      *stocking.Tank
	us        bool
	residents int // lines of the request that are residents
	refs      []gen.SpeciesRef
	lines     []stocking.Line
	classes   map[int]string // price classes of what is on offer, by position in the snapshot
}

func newListWire(book *conflict.Book, s *stocking.Stock, residents int, us bool) *listWire {
	words := listWords
	if us {
		words = listWordsUS
	}
	return &listWire{book: book, words: words, tank: s.Tank, us: us, residents: residents}
}

// The words for lists, with those of every solver.
var listWords, listWordsUS = withSolvers(stocking.English(false)), withSolvers(stocking.English(true))

func withSolvers(w stocking.Words) stocking.Words {
	return w.With(groupings.English).With(placements.English).With(remedies.English)
}

// use takes the canonical list that the answer speaks of.
func (w *listWire) use(lines []stocking.Line) {
	w.lines, w.refs = lines, make([]gen.SpeciesRef, len(lines))
	for i := range lines {
		w.refs[i] = wire.SpeciesRef(w.species(i))
	}
}

func (w *listWire) species(line int) *species.Species { return w.book.Snapshot.At(w.lines[line].Index) }
