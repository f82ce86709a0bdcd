package lists

import (
	"errors"
	"net/http"
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// Reader turns the lists of a request into a [stocking.Stock].
type Reader struct {
	*wire.Body
	// labels lets a line carry a name with several meanings, or goods that are no fish; setAside
	// also one that is not found. What such lines are goes to others.
	labels, setAside bool
	others           []stocking.Other
}

func NewReader(snap *species.Snapshot) *Reader { return &Reader{Body: wire.NewBody(snap)} }

// lines reads residents and incoming into one list, residents first.
func (r *Reader) lines(residents []gen.LineInput, incoming *[]gen.LineInput) []stocking.Line {
	joining := wire.Value(incoming)
	list, refs := make([]stocking.Line, 0, len(residents)+len(joining)), make([]int, len(residents)+len(joining))
	add := func(room string, i int, in *gen.LineInput, ref int, joins bool) {
		l, fish := r.plain(in)
		if !fish {
			l, fish = r.labelled(room+strconv.Itoa(i), in, ref, joins)
		}
		if fish {
			refs[ref] = ref
			l.Refs, l.Incoming = refs[ref:ref+1:ref+1], joins
			list = append(list, l)
		}
	}
	for i := range residents {
		add("/residents/", i, &residents[i], i, false)
	}
	for i := range joining {
		add("/incoming/", i, &joining[i], len(residents)+i, true)
	}
	return list
}

// plain reads a line that names its kind by the id, which is no other label, and has nothing that could be wrong.
func (r *Reader) plain(in *gen.LineInput) (l stocking.Line, ok bool) {
	if !r.labels || in.Article != nil || in.LengthCm != nil {
		return l, false
	}
	index, ok := r.Snap.Index(species.ID(in.Species))
	if ok {
		l = r.Numbers("", in)
		l.Index = index
	}
	return l, ok
}

// labelled reads a line whose name may be a label; fish is false for one that is set aside.
func (r *Reader) labelled(at string, in *gen.LineInput, ref int, joins bool) (l stocking.Line, fish bool) {
	if !r.labels {
		return r.Line(at, in), true
	}
	if in.Article != nil && in.Species == "" { // as in a batch, whose lines are for everybody
		r.Impossible(at+"/article", at+" names article "+strconv.Quote(validate.Printable(*in.Article))+", and articles are not looked up here.", "give the species")
		return r.Numbers(at, in), true
	}
	label, err := r.Snap.ReadLabel(in.Species)
	switch {
	case err != nil && !r.setAside:
		r.Unknown(named(at, in), err)
		return r.Numbers(at, in), true
	case err != nil || label.Other != nil:
		o := stocking.Other{Word: validate.Printable(in.Species), Ref: ref, Incoming: joins}
		if label.Other != nil {
			o.Good, o.Animal = label.Other.Kind, label.Other.Animal
			if label.Other.Misspelt {
				o.Taken = label.Other.Word
			}
		}
		r.others = append(r.others, o)
		return l, false
	}
	l = r.Numbers(at, in)
	l.Index = label.Meanings[0].Index
	if !label.Clear() {
		l.Word, l.Broader = validate.Printable(in.Species), label.Broader
		for _, m := range label.Meanings {
			l.Meanings = append(l.Meanings, m.Index)
		}
	}
	fill(&l, &label)
	return l, true
}

// fill takes what a label says of its fish where the line does not say it.
func fill(l *stocking.Line, label *species.Label) {
	if l.Sex == species.Unsexed {
		l.Sex = label.Sex
	}
	if l.LengthCM == 0 {
		l.LengthCM = label.LengthCM
	}
	if l.Count == 0 {
		l.Count = label.Count
	}
}

// Line reads a line by a name that means one species.
func (r *Reader) Line(at string, in *gen.LineInput) stocking.Line {
	l := r.Numbers(at, in)
	l.Index = r.SpeciesOf(named(at, in))
	if label, err := r.Snap.ReadLabel(in.Species); err == nil && label.Clear() {
		fill(&l, &label)
	}
	return l
}

// named is the name of a line and where it stands: at the article whose name it is, or as the species.
func named(at string, in *gen.LineInput) wire.Named {
	if in.Article != nil {
		n := wire.InBody(at+"/article", in.Species)
		n.Article = *in.Article
		return n
	}
	return wire.InBody(at+"/species", in.Species)
}

// Numbers reads all of a line but its name.
func (r *Reader) Numbers(at string, in *gen.LineInput) (l stocking.Line) {
	if in.Count != nil {
		l.Count = int(*in.Count)
	}
	if in.Sex != nil {
		l.Sex = wire.Sex(*in.Sex)
	}
	l.LengthCM = r.Quantity(at, "length_cm", in.LengthCm, wire.ResidentLength)
	l.AgeMonth, l.MonthsObserved, l.Weight = wire.Value(in.AgeMonths), wire.Value(in.MonthsObserved), wire.Value(in.Weight)
	l.Keep = wire.Value(in.Keep)
	if in.Disposition != nil {
		l.Observed = dispositionOf(*in.Disposition)
	}
	return l
}

// pin marks every line of the species that are to stay.
func (r *Reader) pin(lines []stocking.Line, keep *[]string) {
	for i, index := range r.SpeciesList("/keep", keep) {
		on := index < 0
		for k := range lines {
			if lines[k].Index == index && index >= 0 {
				lines[k].Keep, on = true, true
			}
		}
		if !on {
			r.Impossible("/keep/"+strconv.Itoa(i), strconv.Quote(validate.Printable((*keep)[i]))+" is not on the list.", "name a species of residents or incoming")
		}
	}
}

// sizeOfList refuses a list of no lines or of too many.
func (r *Reader) sizeOfList(n int) {
	switch {
	case n == 0:
		r.Impossible("/residents", "The list is empty.", "give at least one line in residents or incoming")
	case n > stocking.MaxLines:
		r.Impossible("/residents", "residents and incoming have "+strconv.Itoa(n)+" lines together, which is too many.", "give at most "+strconv.Itoa(stocking.MaxLines))
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
	f := &respond.Fault{Slug: respond.ImpossibleValue, Status: http.StatusUnprocessableEntity}
	for _, p := range input.Problems {
		pointer := "/tank"
		if p.Line >= 0 {
			pointer = at(p.Line)
		}
		f.Entries = append(f.Entries, respond.AtField(gen.Body, pointer, p.What+".", "write a value from "+wire.Plain(p.Min)+" to "+wire.Plain(p.Max)))
	}
	f.Detail = respond.Sentence(f.Entries)
	return f
}
