package api

import (
	"context"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/groupings"
	"commensal/internal/stocking/placements"
	"commensal/internal/stocking/remedies"
)

// PostChecks judges a whole list, with or without a tank. Nothing is stored but where a record is
// asked for.
func (s *Server) PostChecks(ctx context.Context, r gen.PostChecksRequestObject) (gen.PostChecksResponseObject, error) {
	sh, err := s.current()
	if err != nil {
		return nil, err
	}
	stock, err := readCheck(sh.book.Snapshot, r.Body)
	if err != nil {
		return nil, err
	}
	us := r.Params.Units != nil && *r.Params.Units == gen.PostChecksParamsUnitsUs
	q := question{sh.book, stock, len(r.Body.Residents), us}
	if value(r.Body.Record) {
		return s.record(ctx, &q, r.Body.ExternalRef, nil)
	}
	return q.reply()
}

// question is a list that is to be judged, its first lines residents.
type question struct {
	book      *conflict.Book
	stock     stocking.Stock
	residents int
	us        bool
}

func (q *question) reply() (*reply, error) {
	answer, err := q.answer()
	if err != nil {
		return nil, err
	}
	return jsonReply(answer)
}

// answer is all that is said of the list.
func (q *question) answer() (gen.Check, error) {
	check, err := stocking.Judge(q.book, q.stock)
	if err != nil {
		return gen.Check{}, judgeFault(err)
	}
	w := newListWire(q.book, &q.stock, q.residents, q.us)
	answer := w.check(&check)
	answer.Outlook = w.outlook(&check.Outlook)
	answer.Groupings = w.checkGroupings(groupings.SplitIfHeld(q.book, q.stock, &check))
	remedies := remedies.Find(q.book, q.stock, &check)
	answer.Remedies, answer.NoRemedy = w.remedies(&remedies)
	return answer, nil
}

// readCheck reads the list of a check, or tells of everything that is wrong with it.
func readCheck(snap *species.Snapshot, in *gen.CheckRequest) (stocking.Stock, error) {
	r := newListReader(snap)
	stock := stocking.Stock{Lines: r.lines(in.Residents, in.Incoming), Tank: r.tank(in.Tank), Wanted: wantedOf(in.WantedLevel)}
	r.pin(stock.Lines, in.Keep)
	r.sizeOfList(len(stock.Lines))
	r.recordRef(in)
	return stock, r.err()
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
		w.refs[i] = refWire(w.species(i))
	}
}

func (w *listWire) species(line int) *species.Species { return w.book.Snapshot.At(w.lines[line].Index) }
