package stocking

import (
	"slices"

	"commensal/internal/species"
)

// pestSnails are the snails that come with plants and multiply, and that snail eaters are bought
// against: common practice, no source.
var pestSnails = []species.ID{
	"melanoides-tuberculata", "tarebia-granifera", "physella-acuta", "lymnaea-stagnalis", "planorbella-duryi",
}

// meant reports whether one line is bought to eat the other: a snail eater that joins pest snails.
// That they are eaten is the purpose, and stands against nobody.
func (j *Assessment) meant(a, b int) bool {
	if j.Together {
		return false
	}
	hunts := func(hunter, prey *Resident) bool {
		return hunter.Incoming && !prey.Incoming && slices.Contains(pestSnails, prey.Species.ID)
	}
	return hunts(&j.Lines[a], &j.Lines[b]) || hunts(&j.Lines[b], &j.Lines[a])
}
