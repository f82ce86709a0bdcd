package lists

import (
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"
)

// BenchmarkBrief is the same list told in full, in brief and as a slip, from reading it to the encoded answer.
func BenchmarkBrief(b *testing.B) {
	book, desk := fixture.Fitted(b), work.New(0)
	for name, in := range map[string]gen.CheckRequest{"dozen on hold": fixture.TheDozen(b), "sale of a shoal": aSale} {
		for _, form := range [...]struct {
			name   string
			detail gen.Detail
			text   bool
		}{{"full", gen.Full, false}, {"brief", gen.Brief, false}, {"slip", gen.Full, true}} {
			b.Run(name+"/"+form.name, func(b *testing.B) {
				b.ReportAllocs()
				in := in
				in.Detail = &form.detail
				var answer *respond.Reply
				for b.Loop() {
					var err error
					if answer, err = questionOf(b, book, &in, form.text).Reply(b.Context(), desk); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(len(answer.Body)), "bytes")
			})
		}
	}
}

var aVolume = gen.Quantity("112")

// aSale is what a till asks most: some fish for a tank of which the litres are known.
var aSale = gen.CheckRequest{
	Tank:      &gen.TankInput{VolumeL: &aVolume},
	Residents: []gen.LineInput{{Species: "paracheirodon-innesi", Count: wire.Present(12.0)}, {Species: "hoplisoma-paleatum", Count: wire.Present(6.0)}},
	Incoming:  &[]gen.LineInput{{Species: "guppy", Count: wire.Present(5.0)}},
}

func questionOf(t interface {
	Helper()
	Fatal(...any)
}, book *conflict.Book, in *gen.CheckRequest, text bool) *Question {
	t.Helper()
	stock, err := ReadCheck(book.Snapshot, in)
	if err != nil {
		t.Fatal(err)
	}
	return &Question{Book: book, Stock: stock, Asked: in, Text: text}
}
