package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// cautions gathers what must be said beside the answer: for each species as the
// catalogue lists them, the graver kinds of caution first, then the tank, and the
// general guidance last.
func (j *judging) cautions() (out []conflict.CautionNote) {
	for _, grave := range []bool{true, false} {
		for i := range j.lines {
			if j.lines[i].kind == i {
				out = appendCautions(out, j.lines[i].species, grave)
			}
		}
	}
	out = j.choking(out)
	if j.tank.Volume() >= conflict.HeavyTankL {
		out = append(out, note(conflict.HeavyTank, nil))
	}
	return append(out, note(conflict.Guidance, nil))
}

func appendCautions(out []conflict.CautionNote, sp *species.Species, grave bool) []conflict.CautionNote {
	for _, code := range sp.Cautions {
		if isGrave(code) != grave {
			continue
		}
		n := note(code, sp)
		if code == species.Regulated && sp.LegalNote != "" {
			n.Text = sp.LegalNote
		}
		out = append(out, n)
	}
	return out
}

func note(code species.Caution, sp *species.Species) conflict.CautionNote {
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
func (j *judging) choking(out []conflict.CautionNote) []conflict.CautionNote {
	for prey := range j.lines {
		if j.lines[prey].kind != prey {
			continue
		}
		for hunter := range j.lines {
			if j.lines[hunter].kind != prey && j.book.Model.MayChoke(j.lines[hunter].profile, j.lines[prey].profile) {
				out = append(out, note(conflict.Choking, j.lines[prey].species))
				break
			}
		}
	}
	return out
}
