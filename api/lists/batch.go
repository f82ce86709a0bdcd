package lists

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"net/http"
	"strconv"
	"time"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"

	"github.com/labstack/echo/v4"
)

const (
	// maxBatch is how many lists a batch has.
	maxBatch = 1000
	// maxBatchLines is how many lines it has with the blank ones.
	maxBatchLines = 10 * maxBatch
	// batchLimits is how many times what one list may cost all of a batch may cost: about ten seconds of one processor, several
	// times what a thousand baskets of a dozen kinds take.
	batchLimits = 20
	// batchPatience is how long a client may take for the next piece of its lines.
	batchPatience = 30 * time.Second
	// batchPiece is how many bytes of answers are sent at once, and batchHeld how long one is held for that while
	// others are worked out.
	batchPiece = 32 << 10
	batchHeld  = 100 * time.Millisecond
)

// batch is a request under way: lists come in and answers go out, a line at a time, and one is in memory.
type batch struct {
	lists  *Lists
	c      echo.Context
	book   *conflict.Book
	params gen.CheckBatchParams
	in     *bufio.Reader
	wait   func() // before more lines are waited for
	line   int    // of the body, from 1
	count  int    // lines that were not blank
	stock  batchStock
}

// CheckBatch judges the lists of a batch, one on each line.
func (s *Lists) CheckBatch(c echo.Context, p gen.CheckBatchParams) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	control := http.NewResponseController(c.Response())
	_ = control.EnableFullDuplex() // where the connection knows it, as HTTP/2 does by itself
	b := &batch{lists: s, c: c, book: book, params: p, in: bufio.NewReaderSize(c.Request().Body, 64<<10),
		wait: func() { _ = control.SetReadDeadline(time.Now().Add(batchPatience)) }}
	b.wait()
	text, long, err := b.next()
	if errors.Is(err, io.EOF) {
		detail := "The body has no line."
		return &respond.Fault{Slug: respond.ImpossibleValue, Detail: detail, Entries: respond.Fields(respond.AtField(gen.Body, "", detail, "send a list on each line"))}
	}
	if err != nil {
		return errCutShort
	}
	out := &respond.Reply{Status: http.StatusOK, Media: validate.LinesMedia, Caching: respond.NoStore}
	out.Stream = func(w io.Writer) error { return b.run(w, text, long) }
	return respond.To(c).Send(out, nil)
}

// errBatchSpent is the problem of a line that is behind what a batch may cost.
var errBatchSpent = &respond.Fault{Slug: respond.TooManyRequests, Detail: "The lists before this one took as much work as a batch may take: send this one and those behind it in another batch."}

var errCutShort = &respond.Fault{Slug: respond.MalformedBody, Detail: "The body ended before it was whole."}

// run answers the first line and all that follow.
func (b *batch) run(w io.Writer, text []byte, long bool) (err error) {
	ctx := b.c.Request().Context()
	work.Patiently(ctx)
	out := bufio.NewWriterSize(w, batchPiece) // a piece of several answers takes one call of the system
	sent := time.Now()
	flush := func() {
		if f, ok := w.(respond.Flusher); out.Flush() == nil && ok {
			f.Flush()
		}
		sent = time.Now()
	}
	for ; err == nil; text, long, err = b.next() {
		if b.count++; b.count > 1 {
			work.Count(ctx, work.Lookup) // the first is counted as the request
		}
		if _, err := out.Write(b.answer(text, long)); err != nil {
			return err
		}
		switch {
		case ctx.Err() != nil:
			return errGone
		case b.count > maxBatch || b.line >= maxBatchLines:
			return out.Flush()
		case b.in.Buffered() == 0: // whoever asks line by line waits for this answer
			flush()
			b.wait()
		case time.Since(sent) > batchHeld:
			flush()
		}
	}
	return errors.Join(out.Flush(), notEnd(err))
}

// notEnd is an error but the end of what is read.
func notEnd(err error) error {
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

// next is the next line that is not blank; long where it has more than [validate.MaxBody] bytes, and then
// it is passed over. A byte order mark before the first, as some editors write it, is no part of it.
func (b *batch) next() (text []byte, long bool, err error) {
	for b.line < maxBatchLines {
		b.line++
		text, long, err = b.read()
		if b.line == 1 {
			text = bytes.TrimPrefix(text, []byte("\ufeff"))
		}
		if long || len(bytes.TrimSpace(text)) > 0 {
			return text, long, nil
		}
		if err != nil {
			return nil, false, err
		}
	}
	return nil, false, io.EOF
}

// read reads to the end of a line.
func (b *batch) read() (text []byte, long bool, err error) {
	for {
		piece, err := b.in.ReadSlice('\n')
		if long = long || len(text)+len(piece) > validate.MaxBody; long {
			text = nil
		} else {
			text = append(text, piece...)
		}
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			b.wait()
		case errors.Is(err, io.EOF) || err == nil:
			return text, long, err
		default:
			return nil, false, err
		}
	}
}

// answer is what goes out for a line: [gen.BatchLine].
func (b *batch) answer(text []byte, long bool) []byte {
	reply, err := b.judge(text, long)
	if err == nil { // the answer is JSON already, and need not be read once more
		out := append(make([]byte, 0, len(reply.Body)+64), `{"answer":`...)
		out = append(out, bytes.TrimRight(reply.Body, "\n")...)
		return append(strconv.AppendInt(append(out, `,"line":`...), int64(b.line), 10), `,"status":200}`+"\n"...)
	}
	f, told := respond.FaultOf(err, b.c)
	id := b.c.Response().Header().Get("X-Request-Id")
	if !told { // as the writer of problems logs what a whole request is not told
		b.lists.logger.ErrorContext(b.c.Request().Context(), "a line of a batch failed", "line", b.line, "request_id", id, "error", err.Error())
	}
	problem := f.Problem(id)
	line, err := respond.EncodeJSON(gen.BatchLine{Line: b.line, Status: problem.Status, Problem: &problem})
	if err != nil { // a problem is words and numbers
		line = []byte(`{"line":` + strconv.Itoa(b.line) + `,"status":500}` + "\n")
	}
	return line
}

// judge answers a line as the same request by itself would be answered.
func (b *batch) judge(text []byte, long bool) (*respond.Reply, error) {
	switch {
	case b.count > maxBatch:
		return nil, batchFault("This line and those behind it are too many.", "send at most "+strconv.Itoa(maxBatch)+" lists at once")
	case long:
		return nil, &respond.Fault{Slug: respond.BodyTooLarge, Detail: "The line is over 1 MiB (1,048,576 bytes)."}
	case work.Spent(b.c.Request().Context()) >= batchLimits*b.lists.desk.Limit():
		return nil, errBatchSpent
	}
	text = bytes.TrimSpace(text)
	key := keyOf(listOperation, b.canonical(), respond.JSONType, b.lists.whoAsks(b.c), text)
	if before, ok := b.lists.cache.Get(b.book, key); ok {
		return before, nil
	}
	ctx := b.c.Request().Context()
	if err := b.lists.desk.Sit(ctx, len(text)); err != nil {
		return nil, err
	}
	defer work.Rise(ctx)
	sent, err := b.lists.listOf.Hold(text)
	if err != nil {
		return nil, err
	}
	in, err := validate.Read[gen.CheckRequest](sent)
	if err != nil {
		return nil, &respond.Fault{Slug: respond.MalformedBody, Detail: "The line cannot be read: " + err.Error() + "."}
	}
	if wire.Value(in.Record) {
		return nil, batchFault("A batch records nothing.", "record the check with a request of its own", "/record")
	}
	if permits := b.lists.listOf.Permits; permits != nil {
		if err := permits(b.c, sent); err != nil {
			return nil, err
		}
	}
	if in.Detail == nil {
		in.Detail = b.params.Detail
	}
	in.Region = b.lists.in(b.c, in.Region)
	named, err := b.lists.nameCheck(b.c, b.stock.articlesOf(b.lists.shelf), in)
	if err != nil {
		return nil, err
	}
	stock, err := ReadCheck(b.book.Snapshot, in)
	if err != nil {
		return nil, err
	}
	q := Question{Book: b.book, Stock: stock, Asked: in, US: wire.InUS(b.params.Units)}
	if err := b.lookForOffers(&q); err != nil {
		return nil, err
	}
	answer, err := q.Reply(ctx, b.lists.desk)
	if err == nil && !named && !q.Private {
		b.lists.cache.Put(b.book, key, answer.Prepare())
	}
	return answer, err
}

// canonical is the query of the same request by itself, and how much is told where the line does not say.
func (b *batch) canonical() string {
	query := ""
	if wire.InUS(b.params.Units) {
		query = "units=us"
	}
	if wire.Value(b.params.Detail) == gen.Brief {
		query += " brief"
	}
	return query
}

// batchFault refuses a line of a batch, at a spot of it.
func batchFault(detail, fix string, at ...string) error {
	pointer := ""
	if len(at) > 0 {
		pointer = at[0]
	}
	return &respond.Fault{Slug: respond.ImpossibleValue, Detail: detail, Entries: respond.Fields(respond.AtField(gen.Body, pointer, detail, fix))}
}
