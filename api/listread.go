package api

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// listReader turns the lists of a request into a [stocking.Stock] and gathers everything that is
// wrong with them, so that one answer tells all.
type listReader struct {
	snap  *species.Snapshot
	found faults
	names badNames
	// labels lets a line carry a name with several meanings, or goods that are no fish; setAside
	// also one that is not found. What such lines are goes to others.
	labels, setAside bool
	others           []stocking.Other
}

func newListReader(snap *species.Snapshot) *listReader {
	return &listReader{snap: snap, found: faults{malformed: malformedBody}}
}

// err is the problem of all that was gathered. Values decide its type before names do.
func (r *listReader) err() error {
	values, names := r.found.err(), r.names.err()
	if values == nil || names == nil {
		return errors.Join(values, names)
	}
	f := values.(*fault)
	f.fields = append(f.fields, r.names.fields...)
	f.detail = sentence(f.fields)
	return f
}

// impossible notes a value that can be read and is not possible.
func (r *listReader) impossible(pointer, detail, fix string) {
	r.found.impossible = append(r.found.impossible, atField(gen.Body, pointer, detail, fix))
}

// species resolves a name; index is -1 where it does not resolve.
func (r *listReader) species(pointer, name string) (index int) {
	m, err := r.snap.Resolve(name)
	if err != nil {
		r.names.add(named{gen.Body, pointer, name}, err)
		return -1
	}
	return m.Index
}

// speciesList resolves a list of names.
func (r *listReader) speciesList(pointer string, names *[]string) (list []int) {
	if names == nil {
		return nil
	}
	for i, name := range *names {
		list = append(list, r.species(pointer+"/"+strconv.Itoa(i), name))
	}
	return list
}

// lines reads residents and incoming into one list, residents first.
func (r *listReader) lines(residents []gen.LineInput, incoming *[]gen.LineInput) []stocking.Line {
	list := make([]stocking.Line, 0, len(residents))
	add := func(at string, in *gen.LineInput, ref int, joins bool) {
		if l, fish := r.labelled(at, in, ref, joins); fish {
			l.Refs, l.Incoming = []int{ref}, joins
			list = append(list, l)
		}
	}
	for i := range residents {
		add("/residents/"+strconv.Itoa(i), &residents[i], i, false)
	}
	for i := range value(incoming) {
		add("/incoming/"+strconv.Itoa(i), &(*incoming)[i], len(residents)+i, true)
	}
	return list
}

// labelled reads a line whose name may be a label; fish is false for one that is set aside.
func (r *listReader) labelled(at string, in *gen.LineInput, ref int, joins bool) (l stocking.Line, fish bool) {
	label, err := r.snap.ReadLabel(in.Species)
	if !r.labels || err != nil && !r.setAside {
		return r.line(at, in), true
	}
	if err != nil || label.Other != nil {
		o := stocking.Other{Word: printable(in.Species), Ref: ref, Incoming: joins}
		if label.Other != nil {
			o.Good = label.Other.Kind
		}
		r.others = append(r.others, o)
		return l, false
	}
	l = r.numbers(at, in)
	l.Index = label.Meanings[0].Index
	if !label.Clear() {
		l.Word, l.Broader = printable(in.Species), label.Broader
		for _, m := range label.Meanings {
			l.Meanings = append(l.Meanings, m.Index)
		}
	}
	if l.Sex == species.Unsexed {
		l.Sex = label.Sex
	}
	if l.LengthCM == 0 {
		l.LengthCM = label.LengthCM
	}
	if l.Count == 0 {
		l.Count = label.Count
	}
	return l, true
}

func (r *listReader) line(at string, in *gen.LineInput) stocking.Line {
	l := r.numbers(at, in)
	l.Index = r.species(at+"/species", in.Species)
	return l
}

// numbers reads all of a line but its name.
func (r *listReader) numbers(at string, in *gen.LineInput) (l stocking.Line) {
	if in.Count != nil {
		l.Count = int(*in.Count)
	}
	if in.Sex != nil {
		l.Sex = sexOf(*in.Sex)
	}
	l.LengthCM = r.quantity(at, "length_cm", in.LengthCm, residentLength)
	l.AgeMonth, l.MonthsObserved, l.Weight = value(in.AgeMonths), value(in.MonthsObserved), value(in.Weight)
	l.Keep = value(in.Keep)
	if in.Disposition != nil {
		l.Observed = dispositionOf(*in.Disposition)
	}
	return l
}

// quantity reads a quantity that is a number or text with a unit; 0 where it is absent
// or wrong.
func (r *listReader) quantity(at, name string, raw *gen.Quantity, q quantity) float64 {
	if raw == nil {
		return 0
	}
	x, _ := q.readAt(spot{gen.Body, at + "/" + name, name}, quantityText(*raw), &r.found)
	return x
}

// quantityText is a quantity as text. The contract has let only numbers and texts pass.
func quantityText(raw json.RawMessage) string {
	var text string
	if json.Unmarshal(raw, &text) == nil {
		return text
	}
	x, err := strconv.ParseFloat(string(raw), 64)
	if err != nil {
		return string(raw)
	}
	return plain(x)
}

// pin marks every line of the species that are to stay.
func (r *listReader) pin(lines []stocking.Line, keep *[]string) {
	for i, index := range r.speciesList("/keep", keep) {
		on := index < 0
		for k := range lines {
			if lines[k].Index == index && index >= 0 {
				lines[k].Keep, on = true, true
			}
		}
		if !on {
			r.impossible("/keep/"+strconv.Itoa(i), strconv.Quote(printable((*keep)[i]))+" is not on the list.", "name a species of residents or incoming")
		}
	}
}

// sizeOfList refuses a list of no lines or of too many.
func (r *listReader) sizeOfList(n int) {
	switch {
	case n == 0:
		r.impossible("/residents", "The list is empty.", "give at least one line in residents or incoming")
	case n > stocking.MaxLines:
		r.impossible("/residents", "residents and incoming have "+strconv.Itoa(n)+" lines together, which is too many.", "give at most "+strconv.Itoa(stocking.MaxLines))
	}
}

// wantedOf is the level asked for, or the customary one.
func wantedOf(level *gen.Level) conflict.Level {
	if level != nil {
		if l, ok := conflict.ParseLevel(string(*level)); ok {
			return l
		}
	}
	return stocking.DefaultWanted
}

func dispositionOf(d gen.Disposition) conflict.Disposition {
	switch d {
	case gen.Calmer:
		return conflict.Calmer
	case gen.Fiercer:
		return conflict.Fiercer
	}
	return conflict.Typical
}

// value is what a pointer points at, or the zero value.
func value[T any](p *T) (v T) {
	if p != nil {
		v = *p
	}
	return v
}

// judgeFault is the problem behind an error of package stocking: the limits of the
// contract are narrower, so it means a value that the contract should have refused.
func judgeFault(err error) error {
	return judgeFaultAt(err, func(line int) string { return "/residents/" + strconv.Itoa(line) })
}

// judgeFaultAt is judgeFault where problems lie at other spots.
func judgeFaultAt(err error, at func(line int) string) error {
	var input *stocking.InputError
	if !errors.As(err, &input) {
		return err
	}
	f := &fault{slug: impossibleValue, status: http.StatusUnprocessableEntity}
	for _, p := range input.Problems {
		pointer := "/tank"
		if p.Line >= 0 {
			pointer = at(p.Line)
		}
		f.fields = append(f.fields, atField(gen.Body, pointer, p.What+".", "write a value from "+plain(p.Min)+" to "+plain(p.Max)))
	}
	f.detail = sentence(f.fields)
	return f
}
