package lists

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/slip"

	"pgregory.net/rapid"
)

// drawCheck draws a list as tills send them: mostly litres, some names with several meanings, some that are none.
func drawCheck(t *rapid.T, book *conflict.Book, most int) *gen.CheckRequest {
	line := func(at int) gen.LineInput {
		in := gen.LineInput{Species: string(book.Snapshot.At(rapid.IntRange(0, book.Snapshot.Len()-1).Draw(t, "species")).ID)}
		if odd := rapid.SampledFrom([]string{"", "", "", "", "", "cory", "nerite", "java fern", "axolotl", "no such fish"}).Draw(t, "odd"); odd != "" {
			in.Species = odd
		}
		if n := rapid.IntRange(0, 12).Draw(t, "count"); n > 0 {
			in.Count = wire.Present(float64(n))
		}
		if rapid.IntRange(0, 3).Draw(t, "young") == 0 {
			length := gen.Quantity("2")
			in.LengthCm = &length
		}
		if rapid.Bool().Draw(t, "numbered") {
			in.Ref = wire.Present("T-" + strconv.Itoa(at))
		}
		return in
	}
	in, n := &gen.CheckRequest{Unmatched: wire.Present(gen.SetAside)}, rapid.IntRange(1, most).Draw(t, "lines")
	incoming := []gen.LineInput{}
	for i := range n {
		if rapid.Bool().Draw(t, "incoming") {
			incoming = append(incoming, line(i))
		} else {
			in.Residents = append(in.Residents, line(i))
		}
	}
	in.Incoming = &incoming
	if litres := rapid.SampledFrom([]string{"", "10", "54", "112", "240", "720"}).Draw(t, "litres"); litres != "" {
		volume := gen.Quantity(litres)
		in.Tank = &gen.TankInput{VolumeL: &volume}
	}
	return in
}

func TestTheShortFormSaysWhatTheWholeAnswerSays(t *testing.T) {
	book := fixture.Fitted(t)
	rapid.Check(t, func(t *rapid.T) {
		in := drawCheck(t, book, 10)
		whole, err := questionOf(t, book, in, false).AnswerWithin(nil)
		if err != nil {
			t.Fatal(err)
		}
		short, err := questionOf(t, book, in, false).ShortWithin(nil)
		if err != nil {
			t.Fatal(err)
		}
		if from := BriefOf(&whole); !reflect.DeepEqual(short, from) {
			t.Fatalf("%+v\nfrom the whole answer: %+v", short, from)
		}
		heldShort(t, &short, len(whole.Findings))
	})
}

// heldShort holds a short form to its size, in JSON and on a slip that leaves nothing of it out.
func heldShort(t *rapid.T, short *gen.BriefCheck, reasons int) {
	text, err := respond.EncodeJSON(short)
	if err != nil || len(text) > MaxBrief {
		t.Fatalf("%v %d bytes: %s", err, len(text), text)
	}
	if len(short.Reasons)+short.FurtherReasons != reasons || reasons > 0 && len(short.Reasons) == 0 || len(short.Reasons) > maxBriefReasons {
		t.Fatalf("%d reasons and %d further ones of %d", len(short.Reasons), short.FurtherReasons, reasons)
	}
	laidOut := slip.Check(short, slip.Columns)
	if len(laidOut) > MaxBrief {
		t.Fatalf("%d bytes: %s", len(laidOut), laidOut)
	}
	for line := range strings.Lines(laidOut) {
		if utf8.RuneCountInString(strings.TrimSuffix(line, "\n")) > slip.Columns {
			t.Fatalf("%q is longer than a line", line)
		}
	}
	for _, r := range short.Reasons {
		if !strings.Contains(laidOut, r.Code) {
			t.Fatalf("%s is not on the slip:\n%s", r.Code, laidOut)
		}
	}
}

func TestASlipNamesDecisionReasonsLinesAndQuestions(t *testing.T) {
	book := fixture.Fitted(t)
	in := &gen.CheckRequest{
		Residents: []gen.LineInput{{Species: "neon tetra", Count: wire.Present(12.0)}},
		Incoming:  &[]gen.LineInput{{Species: "oscar", Ref: wire.Present("1204-7")}},
	}
	short, err := questionOf(t, book, in, true).ShortWithin(nil)
	if err != nil {
		t.Fatal(err)
	}
	text := slip.Check(&short, slip.Columns)
	for _, want := range []string{"HOLD\n", "STOP predation\n", "for 1204-7, /residents/0\n", "ASK How large is the tank", "Catalogue " + fmt.Sprint(book.Snapshot.Revision())} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing:\n%s", want, text)
		}
	}
	if strings.Contains(text, "Hold:") {
		t.Errorf("the decision is said twice:\n%s", text)
	}
}
