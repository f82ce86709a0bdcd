package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Cautions gathers what must be said beside the answer: for each species as the
// catalogue lists them, the graver kinds of caution first, then the tank, and the
// general guidance last.
func (j *Assessment) Cautions() (out []conflict.CautionNote) {
	for _, grave := range []bool{true, false} {
		for i := range j.Lines {
			if j.Lines[i].Kind == i {
				out = j.appendCautions(out, j.Lines[i].Species, grave)
			}
		}
	}
	out = j.choking(out)
	if j.Tank.Volume() >= conflict.HeavyTankL && j.newTank() {
		out = append(out, CautionNote(conflict.HeavyTank, nil))
	}
	return append(out, CautionNote(conflict.Guidance, nil))
}

// appendCautions appends the cautions of a kind. Where rules are known that name it, they take the place of
// the general cautions about the law.
func (j *Assessment) appendCautions(out []conflict.CautionNote, sp *species.Species, grave bool) []conflict.CautionNote {
	rules, named := j.lawNote(sp)
	if !named {
		return appendCautions(out, sp, grave)
	}
	if grave {
		out = append(out, rules)
	}
	for _, n := range appendCautions(nil, sp, grave) {
		if n.Code != species.Regulated && n.Code != species.Prohibited {
			out = append(out, n)
		}
	}
	return out
}

func appendCautions(out []conflict.CautionNote, sp *species.Species, grave bool) []conflict.CautionNote {
	for _, code := range sp.Cautions {
		if isGrave(code) != grave {
			continue
		}
		n := CautionNote(code, sp)
		if code == species.Regulated && sp.LegalNote != "" {
			n.Text = sp.LegalNote
		}
		out = append(out, n)
	}
	return out
}

func CautionNote(code species.Caution, sp *species.Species) conflict.CautionNote {
	return conflict.CautionNote{Code: code, Species: sp, Text: conflict.CautionText(code)}
}

// isGrave reports a danger to people, or a matter of law.
func isGrave(c species.Caution) bool {
	switch c {
	case species.Venomous, species.Electric, species.Bites, species.Poisonous, species.SharpSpines,
		species.Regulated, species.Invasive, species.Prohibited:
		return true
	}
	return false
}

// choking is the caution about armoured prey, for each species that may stick in the
// throat of another on the list.
func (j *Assessment) choking(out []conflict.CautionNote) []conflict.CautionNote {
	for prey := range j.Lines {
		if j.Lines[prey].Kind != prey {
			continue
		}
		for hunter := range j.Lines {
			if j.Lines[hunter].Kind != prey && j.Book.Model.MayChoke(j.Lines[hunter].Profile, j.Lines[prey].Profile) {
				out = append(out, CautionNote(conflict.Choking, j.Lines[prey].Species))
				break
			}
		}
	}
	return out
}

// CautionList gathers cautions, each once.
type CautionList []conflict.CautionNote

func (c *CautionList) Add(notes []conflict.CautionNote) {
	for _, n := range notes {
		if !slices.Contains(*c, n) {
			*c = append(*c, n)
		}
	}
}

// Sorted puts the graver kinds first and the general guidance last.
func (c CautionList) Sorted() []conflict.CautionNote {
	slices.SortStableFunc(c, func(a, b conflict.CautionNote) int { return cautionRank(a) - cautionRank(b) })
	return c
}

func cautionRank(n conflict.CautionNote) int {
	switch {
	case n.Code == conflict.Guidance:
		return 2
	case isGrave(n.Code):
		return 0
	}
	return 1
}

// SpeciesCautions are the cautions of one species, the graver kinds first.
func SpeciesCautions(sp *species.Species) []conflict.CautionNote {
	return appendCautions(appendCautions(nil, sp, true), sp, false)
}
