package lists

import (
	"encoding/json"
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"

	"pgregory.net/rapid"
)

// What is written by hand is what encoding/json would write, to the byte.
func TestAnEncodedCheckIsWhatJSONMakesOfIt(t *testing.T) {
	same := func(t interface{ Fatalf(string, ...any) }, answer told) {
		want, err := json.Marshal(answer.whole())
		if err != nil {
			t.Fatalf("%v", err)
		}
		got, err := answer.reply()
		if err != nil {
			t.Fatalf("%v", err)
		}
		if string(got.Body) != string(want)+"\n" {
			t.Fatalf("got  %s\nwant %s", got.Body, want)
		}
	}
	book, in := fixture.Fitted(t), fixture.TheDozen(t)
	answer, err := questionOf(t, book, &in, false).toldWithin(nil, new(stocking.Slate))
	if err != nil {
		t.Fatal(err)
	}
	same(t, answer)
	for tighter := range 8 {
		same(t, answer.slimmer(tighter))
	}
	moved := 0
	rapid.Check(t, func(t *rapid.T) {
		stock := stocking.Stock{Lines: stockingtest.DrawLines(t, book, 6), Tank: stockingtest.DrawTank(t), Wanted: conflict.Moderate}
		check, err := stocking.Judge(book, stock)
		if err != nil {
			t.Fatal(err)
		}
		for i := range check.Pairings {
			if check.Pairings[i].SpeciesLevel != nil {
				moved++
			}
		}
		answer := newListWire(book, &stock, len(stock.Lines), rapid.Bool().Draw(t, "us")).check(&check, rapid.SampledFrom([]int{0, 1, MaxPairings}).Draw(t, "pairings"))
		answer.Check.Summary = `a "pairings":[ in a text`
		same(t, answer)
	})
	if moved == 0 {
		t.Error("no pairing had another level for its kinds")
	}
}
