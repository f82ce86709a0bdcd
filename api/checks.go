package api

import (
	"context"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// PostChecks judges a whole list, with or without a tank. Nothing is stored.
func (s *Server) PostChecks(_ context.Context, r gen.PostChecksRequestObject) (gen.PostChecksResponseObject, error) {
	sh, err := s.current()
	if err != nil {
		return nil, err
	}
	stock, err := readCheck(sh.book.Snapshot, r.Body)
	if err != nil {
		return nil, err
	}
	us := r.Params.Units != nil && *r.Params.Units == gen.PostChecksParamsUnitsUs
	return judged(sh.book, stock, len(r.Body.Residents), us)
}

// judged answers with what is said of a list whose first lines are residents.
func judged(book *conflict.Book, stock stocking.Stock, residents int, us bool) (*reply, error) {
	check, err := stocking.Judge(book, stock)
	if err != nil {
		return nil, judgeFault(err)
	}
	w := newListWire(book, &stock, residents, us)
	answer := w.check(&check)
	answer.Outlook = w.outlook(&check.Outlook)
	answer.Groupings = w.checkGroupings(stocking.SplitIfHeld(book, stock, &check))
	remedies := stocking.Remedies(book, stock, &check)
	answer.Remedies, answer.NoRemedy = w.remedies(&remedies)
	return jsonReply(answer)
}

// readCheck reads the list of a check, or tells of everything that is wrong with it.
func readCheck(snap *species.Snapshot, in *gen.CheckRequest) (stocking.Stock, error) {
	r := newListReader(snap)
	stock := stocking.Stock{Lines: r.lines(in.Residents, in.Incoming), Tank: r.tank(in.Tank), Wanted: wantedOf(in.WantedLevel)}
	r.pin(stock.Lines, in.Keep)
	r.sizeOfList(len(stock.Lines))
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
}

func newListWire(book *conflict.Book, s *stocking.Stock, residents int, us bool) *listWire {
	return &listWire{book: book, words: stocking.English(us), tank: s.Tank, us: us, residents: residents}
}

// use takes the canonical list that the answer speaks of.
func (w *listWire) use(lines []stocking.Line) {
	w.lines, w.refs = lines, make([]gen.SpeciesRef, len(lines))
	for i := range lines {
		w.refs[i] = refWire(w.species(i))
	}
}

func (w *listWire) species(line int) *species.Species { return w.book.Snapshot.At(w.lines[line].Index) }
