package published

import (
	"fmt"
	"math"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// Outcome is what holding one measurement against the catalogue gives.
type Outcome string

// The outcomes. A name that is not found has no measurement to judge, see [Report.NotFound].
const (
	Agrees        Outcome = "agrees"
	Differs       Outcome = "differs"
	NotComparable Outcome = "not comparable"
)

// What agrees. A published maximum is the longest (or oldest) animal ever written down, often of a few
// in a museum or of one in a river; the catalogue has what a keeper will meet.
const (
	// aboveMaximum: a usual adult may be a quarter longer than the published maximum, since many are of a
	// handful of wild fish and the ratio of the kinds of length is only usual.
	aboveMaximum = 1.25
	// shareOfMaximum: the largest that a keeper will meet reaches half of the maximum.
	shareOfMaximum = 0.5
	// aboveAge, shareOfAge: fish in care outlive the wild ones that ages are read from by half; and the
	// oldest that a keeper will meet reaches a third of the record.
	aboveAge, shareOfAge = 1.5, 1.0 / 3
	// sharedRange: at least half of the published range is tolerated, and some of it is preferred.
	sharedRange = 0.5
	// depthTolerance is the room for how a body is measured.
	depthTolerance = 0.15
)

// verdict is the outcome with its reasons.
type verdict struct {
	outcome Outcome
	side    string  // where the catalogue lies: above or below what was published
	by      float64 // how far it is from agreeing, in the unit of the measure
	detail  string
}

func notComparable(why string) verdict { return verdict{outcome: NotComparable, detail: why} }

// judge holds one measurement against an entry.
func judge(s *species.Species, of measure, m measured) verdict {
	info := measureInfos[of]
	if s.Form != "" {
		return notComparable("a trade form differs from its kind")
	}
	if _, known := s.ValueText(info.field); !known {
		return notComparable("the catalogue has no value")
	}
	switch of {
	case maximumLength:
		total, ok := toTotal(m.Low, m.kind, s.BodyForm)
		if !ok {
			return notComparable(lengthReason(m.kind))
		}
		return judgeMaximum(s.Traits[species.Length].Band, total, aboveMaximum, shareOfMaximum)
	case maximumAge:
		return judgeMaximum(s.Traits[species.Lifespan].Band, m.Low, aboveAge, shareOfAge)
	case depthRatio:
		return judgeDepth(s, m)
	}
	return judgeRange(s.Water[info.parameter], m.Range)
}

func lengthReason(kind LengthKind) string {
	switch kind {
	case UnsaidLength:
		return "the kind of the length is not said"
	case DiscWidth:
		return "the width of a disc is no length"
	}
	return "there is no ratio of its kinds of length"
}

// judgeMaximum holds what is usual against a maximum.
func judgeMaximum(usual species.Band, maximum, above, share float64) verdict {
	switch {
	case usual.Typical > above*maximum:
		return verdict{Differs, "above", usual.Typical - above*maximum, "usual adults exceed the published maximum of " + shown(maximum)}
	case usual.High < share*maximum:
		return verdict{Differs, "below", share*maximum - usual.High, "the largest stay far below the published maximum of " + shown(maximum)}
	}
	return verdict{outcome: Agrees}
}

// judgeDepth holds the depth of the body against a published ratio.
func judgeDepth(s *species.Species, m measured) verdict {
	ratio := m.Low
	if m.kind == StandardLength {
		toTotal, ok := totalOverStandard[s.BodyForm]
		if !ok {
			return notComparable("there is no ratio of its kinds of length")
		}
		ratio /= toTotal
	}
	v := s.Traits[species.DepthRatio]
	low, high := v.Low*(1-depthTolerance), v.High*(1+depthTolerance)
	switch {
	case ratio > high:
		return verdict{Differs, "below", ratio - high, "published as " + shown(ratio) + " of the total length"}
	case ratio < low:
		return verdict{Differs, "above", low - ratio, "published as " + shown(ratio) + " of the total length"}
	}
	return verdict{outcome: Agrees}
}

// judgeRange holds a range of the water against a published one.
func judgeRange(w species.WaterRange, p species.Range) verdict {
	common, overlaps := w.Tolerated.Intersect(p)
	_, liked := w.Preferred.Intersect(p)
	if overlaps && liked && common.High-common.Low >= sharedRange*(p.High-p.Low) {
		return verdict{outcome: Agrees}
	}
	middle, preferred := (p.Low+p.High)/2, (w.Preferred.Low+w.Preferred.High)/2
	v := verdict{outcome: Differs, side: "below", by: math.Abs(middle - preferred)}
	if preferred > middle {
		v.side = "above"
	}
	switch {
	case !overlaps:
		v.detail = "the ranges do not meet"
	case !liked:
		v.detail = "the published range lies outside the preferred one"
	default:
		v.detail = fmt.Sprintf("only %s to %s is tolerated of it", entry.FormatNumber(common.Low), entry.FormatNumber(common.High))
	}
	return v
}

// shown writes a number to three digits.
func shown(x float64) string { return fmt.Sprintf("%.3g", x) }
