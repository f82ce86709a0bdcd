package lists

import (
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"

	"pgregory.net/rapid"
)

// What is written by hand is what encoding/json would write, to the byte.
func TestAnEncodedCheckIsWhatJSONMakesOfIt(t *testing.T) {
	same := func(t interface{ Fatalf(string, ...any) }, c *gen.Check) {
		want, err := respond.JSON(c)
		if err != nil {
			t.Fatalf("%v", err)
		}
		got, err := encodeCheck(*c)
		if err != nil {
			t.Fatalf("%v", err)
		}
		if string(got.Body) != string(want.Body) {
			t.Fatalf("got  %s\nwant %s", got.Body, want.Body)
		}
	}
	book, in := fixture.Fitted(t), fixture.TheDozen(t)
	answer, err := questionOf(t, book, &in, false).AnswerWithin(nil)
	if err != nil {
		t.Fatal(err)
	}
	same(t, &answer)
	answer.Pairings = []gen.ListPairing{}
	same(t, &answer)
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64()
		drawn := gen.Check{Summary: `a "pairings":[ in a text`}
		for range rapid.IntRange(1, 3).Draw(t, "pairings") {
			p := gen.ListPairing{
				Band: rapid.SliceOfN(number, 0, 3).Draw(t, "band"), Level: gen.Level(rapid.String().Draw(t, "level")),
				Lines: rapid.SliceOfN(rapid.Int(), 0, 3).Draw(t, "lines"), MainReason: gen.MainReason(rapid.String().Draw(t, "reason")),
				Pairing: rapid.String().Draw(t, "pairing"), Score: number.Draw(t, "score"), Summary: rapid.String().Draw(t, "summary"),
				Species: []gen.SpeciesRef{{Id: rapid.String().Draw(t, "id")}},
			}
			if rapid.Bool().Draw(t, "level for species") {
				p.SpeciesLevel = &gen.SpeciesLevel{Score: number.Draw(t, "other score")}
			}
			drawn.Pairings = append(drawn.Pairings, p)
		}
		same(t, &drawn)
	})
}
