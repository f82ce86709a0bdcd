package lists

import (
	"slices"
	"strconv"

	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/stocking/placements"
)

// Wishes reads what the keeper of a tank would take.
func (r *Reader) Wishes(at string, in *gen.Wishes) (w placements.Wishes) {
	if in == nil {
		return w
	}
	w.Wanted, w.NotWanted = r.SpeciesList(at+"/wanted", in.Wanted), r.SpeciesList(at+"/not_wanted", in.NotWanted)
	for i, index := range w.NotWanted {
		if index >= 0 && slices.Contains(w.Wanted, index) {
			r.Impossible(at+"/not_wanted/"+strconv.Itoa(i), "The kind is wanted and not wanted.", "leave it in one of the two lists")
		}
	}
	w.AtMost = int(wire.Value(in.AtMost))
	for i, of := range wire.Value(in.AtMostOf) {
		spot := at + "/at_most_of/" + strconv.Itoa(i)
		index := r.Species(spot+"/species", of.Species)
		switch _, twice := w.AtMostOf[index]; {
		case index < 0: // the reader tells of it
		case twice:
			r.Impossible(spot+"/species", "There are two numbers for the kind.", "give one")
		case w.AtMostOf == nil:
			w.AtMostOf = map[int]int{index: int(of.Count)}
		default:
			w.AtMostOf[index] = int(of.Count)
		}
	}
	return w
}

// StoredWishes are wishes with their kinds by id, which catalogues to come do not change; nil for none.
func (r *Reader) StoredWishes(at string, in *gen.Wishes) *gen.Wishes {
	if in == nil {
		return nil
	}
	r.Wishes(at, in)
	ids := func(list *[]string) *[]string {
		if list == nil {
			return nil
		}
		out := make([]string, len(*list))
		for i, name := range *list {
			out[i] = r.idOf(name)
		}
		return &out
	}
	out := &gen.Wishes{Wanted: ids(in.Wanted), NotWanted: ids(in.NotWanted), AtMost: in.AtMost}
	if in.AtMostOf != nil {
		counts := slices.Clone(*in.AtMostOf)
		for i := range counts {
			counts[i].Species = r.idOf(counts[i].Species)
		}
		out.AtMostOf = &counts
	}
	return out
}

// idOf is the id of a kind whose name has been read; a name that did not resolve is told of already.
func (r *Reader) idOf(name string) string {
	if m, err := r.Snap.Resolve(name); err == nil {
		return string(r.Snap.At(m.Index).ID)
	}
	if label, err := r.Snap.ReadLabel(name); err == nil && label.Clear() {
		return string(r.Snap.At(label.Meanings[0].Index).ID)
	}
	return name
}
