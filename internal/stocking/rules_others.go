package stocking

import "commensal/internal/species"

// others says what cannot be judged: a sentence for plants, wood and the like; a look for animals
// that eat fish or are eaten by them; advice for a name that was not found.
func (f *finder) others() {
	for i := range f.Others {
		o := &f.Others[i]
		code, severity := goodCode(o.Good), Note
		switch {
		case o.Good == "":
			severity = Advice
		case o.Good.Animal() && len(f.Lines) > 0:
			severity = Stop
		case o.Good.Animal():
			severity = Advice
		}
		found := f.add(severity, code, nil, nil)
		found.Other = o
	}
}

// goodCode is the code that speaks of a kind of goods.
func goodCode(k species.GoodKind) Code {
	if k == "" {
		return NameNotFound
	}
	return Code("not_a_fish_" + string(k))
}
