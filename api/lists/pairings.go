package lists

import (
	"bytes"
	"strconv"
	"sync"

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
	return string(w.appendAddress(nil, p))
}

func (w *listWire) appendAddress(out []byte, p *stocking.ListPairing) []byte {
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
	return key.AppendAddress(out, w.book.Snapshot)
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
// encoding/json writes [gen.ListPairing], without making one; the rest is left to [respond.EncodeJSON].

// told is a check as it goes out. Its pairings are written from what was found, and become values of the contract only where
// somebody asks for them.
type told struct {
	gen.Check // without its pairings
	wire      *listWire
	worst     []stocking.ListPairing // those that are told of
}

// whole is the check with its pairings.
func (t *told) whole() gen.Check {
	c := t.Check
	c.Pairings = t.wire.pairings(t.worst)
	return c
}

// reply is [respond.JSON] of the whole check.
func (t *told) reply() (*respond.Reply, error) {
	t.Pairings = []gen.ListPairing{}
	answer, err := respond.JSON(&t.Check)
	if err != nil || len(t.worst) == 0 {
		return answer, err
	}
	// No string of JSON has a quotation mark that is not escaped, so that this is the field itself.
	field := []byte(`"pairings":[`)
	at := bytes.Index(answer.Body, field) + len(field)
	buf := pairingsBuffers.Get().(*[]byte)
	defer pairingsBuffers.Put(buf)
	out := pairingsWriter{listWire: t.wire, out: (*buf)[:0]}
	if err := out.write(t.worst); err != nil {
		return nil, err
	}
	if *buf = out.out; cap(*buf) > largePairings {
		*buf = nil
	}
	body := make([]byte, len(answer.Body)+len(out.out))
	copy(body, answer.Body[:at])
	copy(body[at:], out.out)
	copy(body[at+len(out.out):], answer.Body[at:])
	answer.Body = body
	return answer, nil
}

// pairingsBuffers are what pairings are written in before their length is known; larger ones than largePairings are not kept.
var pairingsBuffers = sync.Pool{New: func() any { return new([]byte) }}

const largePairings = 128 << 10

// pairingsWriter writes pairings.
type pairingsWriter struct {
	*listWire
	out   []byte
	refs  [][2]int32 // where in out each line's species was written, to be written again
	space []byte     // an address before it is escaped
}

func (w *pairingsWriter) write(list []stocking.ListPairing) error {
	w.refs = make([][2]int32, len(w.lines))
	for i := range list {
		if i > 0 {
			w.out = append(w.out, ',')
		}
		if err := w.pairing(&list[i]); err != nil {
			return err
		}
	}
	return nil
}

// pairing writes the fields of [gen.ListPairing] in the order of their names.
func (w *pairingsWriter) pairing(p *stocking.ListPairing) error {
	w.pair(`{"band":[`, wire.Tenths(p.Score.Band[0]), wire.TenthsUp(p.Score.Band[1]))
	out := respond.AppendText(append(w.out, `],"level":`...), p.Score.Level.String())
	out = strconv.AppendInt(append(out, `,"lines":[`...), int64(p.First), 10)
	out = strconv.AppendInt(append(out, ','), int64(p.Second), 10)
	out = respond.AppendText(append(out, `],"main_reason":`...), p.Score.Reason.String())
	w.space = w.appendAddress(w.space[:0], p)
	out = respond.AppendBytes(append(out, `,"pairing":`...), w.space)
	w.out = respond.AppendNumber(append(out, `,"score":`...), wire.Tenths(p.Score.Value))
	w.out = append(w.out, `,"species":[`...)
	w.ref(p.First)
	w.out = append(w.out, ',')
	w.ref(p.Second)
	w.out = append(w.out, ']')
	if p.SpeciesLevel != nil {
		level, err := respond.EncodeJSON(speciesLevelWire(p.SpeciesLevel))
		if err != nil {
			return err
		}
		w.out = append(append(w.out, `,"species_level":`...), bytes.TrimRight(level, "\n")...)
	}
	w.out = respond.AppendText(append(w.out, `,"summary":`...), w.words.Pairing().Short(p.Summary, conflict.SummaryLimit))
	w.out = append(w.out, '}')
	return nil
}

func (w *pairingsWriter) pair(name string, first, second float64) {
	w.out = respond.AppendNumber(append(w.out, name...), first)
	w.out = respond.AppendNumber(append(w.out, ','), second)
}

// ref writes the species of a line, the second time as it was written before.
func (w *pairingsWriter) ref(line int) {
	if at := w.refs[line]; at[1] > 0 {
		w.out = append(w.out, w.out[at[0]:at[1]]...)
		return
	}
	begin, of := len(w.out), &w.listWire.refs[line]
	out := respond.AppendText(append(w.out, `{"id":`...), of.Id)
	out = respond.AppendText(append(out, `,"scientific_name":`...), of.ScientificName)
	out = respond.AppendText(append(out, `,"vernacular_name":`...), of.VernacularName)
	w.out = append(out, '}')
	w.refs[line] = [2]int32{int32(begin), int32(len(w.out))}
}
