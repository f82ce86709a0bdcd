package published

import "commensal/internal/species"

// measure is what a table can say of a kind.
type measure uint8

const (
	maximumLength measure = iota
	temperature
	ph
	hardness
	maximumAge
	depthRatio

	numMeasures = int(depthRatio) + 1
)

// measureInfo says which value of the catalogue a measure is held against, and in which unit.
type measureInfo struct {
	field, unit string
	ranged      bool // it has two columns, low and high
	parameter   species.Parameter
}

var measureInfos = [numMeasures]measureInfo{
	maximumLength: {field: "length", unit: string(species.Centimetre)},
	temperature:   {field: "water temperature", unit: "C", ranged: true, parameter: species.Temperature},
	ph:            {field: "water ph", unit: "pH", ranged: true, parameter: species.PH},
	hardness:      {field: "water gh", unit: "dH", ranged: true, parameter: species.Hardness},
	maximumAge:    {field: "lifespan", unit: string(species.Year)},
	depthRatio:    {field: "depth_ratio", unit: string(species.ShareOf)},
}

// LengthKind says between which ends a fish was measured.
type LengthKind string

// The kinds of length, by their customary letters.
const (
	TotalLength    LengthKind = "TL" // snout to the end of the tail fin
	StandardLength LengthKind = "SL" // snout to the end of the spine
	ForkLength     LengthKind = "FL" // snout to the fork of the tail fin
	DiscWidth      LengthKind = "WD" // of a ray, from side to side
	UnsaidLength   LengthKind = ""
)

// kindWords are the ways in which tables write a kind of length, in small letters.
var kindWords = map[string]LengthKind{
	"tl": TotalLength, "total": TotalLength, "total length": TotalLength,
	"sl": StandardLength, "standard": StandardLength, "standard length": StandardLength,
	"fl": ForkLength, "fork": ForkLength, "fork length": ForkLength,
	"wd": DiscWidth, "dw": DiscWidth, "disc width": DiscWidth,
	"ot": UnsaidLength, "other": UnsaidLength, "ng": UnsaidLength,
}

// totalOverStandard is the total length of a fish over its standard length, by the form of its body: the
// tail fin is short on an eel and long on a deep fish. Usual for each form, from memory of length-length
// tables; single kinds differ by about a tenth.
var totalOverStandard = map[species.BodyForm]float64{
	species.EelLike: 1.04, species.Elongated: 1.15, species.Fusiform: 1.22, species.ShortDeep: 1.27,
}

// totalOverFork is the total length over the fork length of a fish whose tail is forked, from memory.
const totalOverFork = 1.08

// toTotal converts a length to total length; ok is false where there is no ratio for it.
func toTotal(length float64, kind LengthKind, form species.BodyForm) (total float64, ok bool) {
	switch kind {
	case TotalLength:
		return length, true
	case StandardLength:
		ratio, ok := totalOverStandard[form]
		return length * ratio, ok
	case ForkLength:
		return length * totalOverFork, !form.Invertebrate()
	}
	return 0, false
}
