package additions

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// What makes one species stand in for another in a keeper's eyes: the weights sum to
// 1. Common practice, no source: people ask first for "another one that looks like
// that", then for one that does the same job at the same level of the tank.
const (
	likeShape   = 0.25 // the same outline
	likeColours = 0.20 // shared colours over all colours of the two (Jaccard)
	likeLength  = 0.20 // shorter length over longer
	likeZone    = 0.15 // Schoener's overlap of their levels
	likeGuild   = 0.10 // the same feeding guild, hence the same use
	likeTemper  = 0.10 // 1 less the gap of their aggression grades
)

// Likeness is how well one species stands in for another in look and use, 0 to 1; 1
// for itself, the same both ways. What the catalogue does not know counts as unlike.
func Likeness(a, b *species.Species) float64 {
	like := likeColours*jaccard(a.Colours, b.Colours) + likeLength*lengthRatio(a, b)
	if a.Shape != "" && a.Shape == b.Shape {
		like += likeShape
	}
	if a.Guild != "" && a.Guild == b.Guild {
		like += likeGuild
	}
	if a.Zones.Known() && b.Zones.Known() {
		like += likeZone * conflict.Schoener(a.Zones.Share, b.Zones.Share)
	}
	ta, okA := greatestValue(a, species.AggressionOthers)
	tb, okB := greatestValue(b, species.AggressionOthers)
	if okA && okB {
		like += likeTemper * (1 - math.Abs(ta.Typical-tb.Typical))
	}
	return like
}

func lengthRatio(a, b *species.Species) float64 {
	la, okA := greatestValue(a, species.Length)
	lb, okB := greatestValue(b, species.Length)
	if !okA || !okB || la.Typical <= 0 || lb.Typical <= 0 {
		return 0
	}
	return min(la.Typical, lb.Typical) / max(la.Typical, lb.Typical)
}

// jaccard is the share of the words of two short lists that both have; 0 for two empty
// lists.
func jaccard(a, b []string) float64 {
	common := 0
	for _, w := range a {
		if slices.Contains(b, w) {
			common++
		}
	}
	if all := len(a) + len(b) - common; all > 0 {
		return float64(common) / float64(all)
	}
	return 0
}
