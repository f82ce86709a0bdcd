package lists

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/api/lookups"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

func (w *listWire) pairings(list []stocking.ListPairing) []gen.ListPairing {
	out := make([]gen.ListPairing, len(list))
	for i := range list {
		p := &list[i]
		out[i] = gen.ListPairing{
			Species: []gen.SpeciesRef{w.refs[p.First], w.refs[p.Second]}, Lines: []int{p.First, p.Second},
			Score: wire.Tenths(p.Score.Value), Band: wire.Band(&p.Score), Level: gen.Level(p.Score.Level.String()),
			MainReason: gen.MainReason(p.Score.Reason.String()),
			Summary:    w.words.Pairing().Short(p.Summary, conflict.SummaryLimit),
			Pairing:    w.address(p), SpeciesLevel: speciesLevelWire(p.SpeciesLevel),
		}
	}
	return out
}

func speciesLevelWire(s *conflict.Score) *gen.SpeciesLevel {
	if s == nil {
		return nil
	}
	return &gen.SpeciesLevel{Score: wire.Tenths(s.Value), Band: wire.Band(s), Level: gen.Level(s.Level.String())}
}

// address is the path and query that explain the two lines by themselves.
func (w *listWire) address(p *stocking.ListPairing) string {
	a, b := &w.lines[p.First], &w.lines[p.Second]
	key := lookups.PairingRequest{Index: [2]int{a.Index, b.Index}, US: w.us}
	if w.tank != nil {
		key.Tank = w.tank.Shaped().Tank
		key.Tank.Reading = [species.NumParameters]conflict.Reading{} // a list judges pairings in the best common water, and readings apart
		if key.Tank.HeightCM == 0 {                                  // which no score minds, but a pairing takes three sides
			key.Tank.HeightCM = key.Tank.WidthCM
		}
	}
	for i, l := range [...]*stocking.Line{a, b} {
		key.Fish[i] = conflict.Individual{Count: min(l.Count, maxLineCount), Sex: l.Sex, LengthCM: l.LengthCM}
	}
	return key.Address(w.book.Snapshot)
}

// maxLineCount is the greatest count that a pairing takes; merged lines may hold more.
const maxLineCount = 1000

func (w *listWire) apart(list []stocking.WaterApart) []gen.WaterApart {
	out := make([]gen.WaterApart, len(list))
	for i := range list {
		a := &list[i]
		out[i] = gen.WaterApart{
			Parameter: wire.WaterParameters[a.Parameter].Name, Difference: wire.Decimals(a.Difference, 3),
			Low:  gen.WaterSide{Line: a.Low, Species: w.refs[a.Low].Id, Tolerated: wire.Interval(a.LowRange)},
			High: gen.WaterSide{Line: a.High, Species: w.refs[a.High].Id, Tolerated: wire.Interval(a.HighRange)},
		}
	}
	return out
}

// Most of a check are its pairings, each told in the same few fields. They are written here as
// encoding/json writes them, without asking for every value what it is; the rest is left to it.

// encodeCheck is [respond.JSON] of a check.
func encodeCheck(c gen.Check) (*respond.Reply, error) {
	pairings := c.Pairings
	if len(pairings) == 0 {
		return respond.JSON(&c)
	}
	c.Pairings = []gen.ListPairing{}
	answer, err := respond.JSON(&c)
	if err != nil {
		return nil, err
	}
	// No string of JSON has a quotation mark that is not escaped, so that this is the field itself.
	field := []byte(`"pairings":[`)
	at := bytes.Index(answer.Body, field) + len(field)
	out := make([]byte, 0, len(answer.Body)+len(pairings)*pairingBytes)
	out = append(out, answer.Body[:at]...)
	refs := refsWritten{}
	for i := range pairings {
		if i > 0 {
			out = append(out, ',')
		}
		if out, err = refs.pairing(out, &pairings[i]); err != nil {
			return nil, err
		}
	}
	answer.Body = append(out, answer.Body[at:]...)
	return answer, nil
}

// pairingBytes is about the length of a pairing.
const pairingBytes = 720

// refsWritten are the species of a check, written once.
type refsWritten map[string][]byte

func (w refsWritten) ref(out []byte, ref *gen.SpeciesRef) ([]byte, error) {
	written, ok := w[ref.Id]
	if !ok {
		var err error
		if written, err = json.Marshal(ref); err != nil {
			return nil, err
		}
		w[ref.Id] = written
	}
	return append(out, written...), nil
}

func (w refsWritten) pairing(out []byte, p *gen.ListPairing) (_ []byte, err error) {
	out = append(out, `{"band":`...)
	out = listOf(out, p.Band, appendNumber)
	out = appendText(append(out, `,"level":`...), string(p.Level))
	out = listOf(append(out, `,"lines":`...), p.Lines, func(out []byte, v int) []byte { return strconv.AppendInt(out, int64(v), 10) })
	out = appendText(append(out, `,"main_reason":`...), string(p.MainReason))
	out = appendText(append(out, `,"pairing":`...), p.Pairing)
	out = appendNumber(append(out, `,"score":`...), float64(p.Score))
	out = append(out, `,"species":[`...)
	for i := range p.Species {
		if i > 0 {
			out = append(out, ',')
		}
		if out, err = w.ref(out, &p.Species[i]); err != nil {
			return nil, err
		}
	}
	out = append(out, ']')
	if p.SpeciesLevel != nil {
		level, err := json.Marshal(p.SpeciesLevel)
		if err != nil {
			return nil, err
		}
		out = append(append(out, `,"species_level":`...), level...)
	}
	return append(appendText(append(out, `,"summary":`...), p.Summary), '}'), nil
}

// listOf writes a list of values.
func listOf[T any](out []byte, list []T, write func([]byte, T) []byte) []byte {
	if list == nil {
		return append(out, "null"...)
	}
	out = append(out, '[')
	for i, v := range list {
		if i > 0 {
			out = append(out, ',')
		}
		out = write(out, v)
	}
	return append(out, ']')
}

// appendNumber writes a finite number as encoding/json does where it needs no exponent, which no score
// does.
func appendNumber(out []byte, v float64) []byte {
	if size := math.Abs(v); size != 0 && (size < 1e-6 || size >= 1e21) {
		written, err := json.Marshal(v)
		if err != nil {
			return append(out, '0')
		}
		return append(out, written...)
	}
	return strconv.AppendFloat(out, v, 'f', -1, 64)
}

// appendText writes a string as encoding/json does, which escapes what HTML could take for its own.
func appendText(out []byte, s string) []byte {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c == '"' || c == '\\' || c == '<' || c == '>' || c == '&' || c == 0x7f || c >= utf8.RuneSelf {
			written, err := json.Marshal(s)
			if err != nil {
				return append(out, `""`...)
			}
			return append(out, written...)
		}
	}
	return append(append(append(out, '"'), s...), '"')
}
