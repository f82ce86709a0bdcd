package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// others says what cannot be judged: a sentence for plants, wood and the like; a look for animals
// that eat fish or are eaten by them; advice for a name that was not found.
func (f *finder) others() {
	for i := range f.otherGoods {
		o := &f.otherGoods[i]
		code, severity := goodCode(o.Good), Note
		switch {
		case o.Good == "":
			severity = Advice
		case o.Good.Animal() && len(f.lines) > 0:
			severity = Stop
		case o.Good.Animal():
			severity = Advice
		}
		found := f.add(severity, code, nil, nil)
		found.Other, found.Statement.Names = o, []string{o.Word}
	}
}

// goodCode is the code that speaks of a kind of goods.
func goodCode(k species.GoodKind) Code {
	switch k {
	case "":
		return NameNotFound
	case species.GoodPlant, species.GoodHardscape, species.GoodFood, species.GoodMedicine, species.GoodEquipment:
		return Code("not_a_fish." + string(k))
	}
	return Code("not_a_fish." + string(k))
}

// notJudged reports whether anything on the list was set aside.
func (j *judging) notJudged() bool { return len(j.otherGoods) > 0 }

var _ = conflict.Evidence{}
