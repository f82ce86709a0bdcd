package lists

import (
	"bytes"
	"sync"
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/units"

	"pgregory.net/rapid"
)

// Lists that are judged side by side, one after the other on the same slates, are answered as each by itself.
func TestListsJudgedSideBySideAreAnsweredAsAlone(t *testing.T) {
	book, desk := fixture.Fitted(t), work.New(0)
	answer := func(in *gen.CheckRequest, text bool) *respond.Reply {
		stock, err := ReadCheck(book.Snapshot, in)
		if err != nil {
			t.Error(err)
			return &respond.Reply{}
		}
		q := Question{Book: book, Stock: stock, Asked: in, Text: text}
		reply, err := q.Reply(t.Context(), desk)
		if err != nil {
			t.Error(err)
			return &respond.Reply{}
		}
		return reply
	}
	var asked []*gen.CheckRequest
	var alone [][]byte
	for seed := range 40 {
		in := rapid.Custom(func(t *rapid.T) *gen.CheckRequest { return drawCheck(t, book, 8) }).Example(seed)
		in.Detail = wire.Present([...]gen.Detail{gen.Brief, gen.Full}[seed%2])
		slates = sync.Pool{New: slates.New} // a new one
		asked, alone = append(asked, in), append(alone, answer(in, seed%5 == 0).Body)
	}
	var all sync.WaitGroup
	for worker := range 4 {
		all.Go(func() {
			for k := range 3 * len(asked) {
				i := (k*7 + worker*11) % len(asked)
				if got := answer(asked[i], i%5 == 0).Body; !bytes.Equal(got, alone[i]) {
					t.Errorf("%d: %s\nalone %s", i, got, alone[i])
					return
				}
			}
		})
	}
	all.Wait()
}

// What a check in brief costs does not grow unseen: an allocation is what much of it is spent on.
func TestACheckInBriefAllocatesLittle(t *testing.T) {
	book, desk := fixture.Fitted(t), work.New(0)
	in := aSale
	in.Detail = wire.Present(gen.Brief)
	if n := testing.AllocsPerRun(100, func() {
		if _, err := questionOf(t, book, &in, false).Reply(t.Context(), desk); err != nil {
			t.Fatal(err)
		}
	}); n > 95 { // 75 without the race detector, under which a pool forgets on purpose
		t.Errorf("%v allocations", n)
	}
}

func TestAnIDIsReadAsItsLabelIs(t *testing.T) {
	snap := fixture.Full(t).Snapshot
	for i := range snap.Len() {
		id := string(snap.At(i).ID)
		label, err := snap.ReadLabel(id)
		if err != nil || !label.Clear() || label.Meanings[0].Index != i || label.Sex != 0 || label.LengthCM != 0 || label.Count != 0 || label.SetAside != nil {
			t.Errorf("%s: %+v %v", id, label, err)
		}
	}
}

func TestAPlainSizeIsReadAsAnyOther(t *testing.T) {
	for n := 10; n < 1000; n++ {
		text := wire.Plain(float64(n)) + "x" + wire.Plain(float64(1009-n)) + "x10cm"
		size, ok := plainSize(text)
		if want, err := units.ParseTank(text, units.None); err != nil || !ok || size != want {
			t.Errorf("%s: %+v %v, want %+v", text, size, ok, want)
		}
	}
	for _, text := range []string{"", "cm", "x", "120x50cm", "120x50x50", "120x50x50x50cm", "120x50x", "120x50xcm", "012x50x50cm", "5x50x50cm", "1000x50x50cm", "120 x 50 x 50cm", "120x50x50.5cm", "120x50x50cmcm", "-120x50x50cm"} {
		if size, ok := plainSize(text); ok {
			t.Errorf("%q: %+v", text, size)
		}
	}
}
