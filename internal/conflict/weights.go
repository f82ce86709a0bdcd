package conflict

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
)

// Weights are the free numbers of the model: the only ones that calibration may
// move. All else is fixed in constants.go. Each is described in [WeightSpecs].
type Weights struct {
	// Version names the fit; it is part of the model version of every answer.
	Version string `json:"version"`

	Predation      float64 `json:"predation"`
	AppetitePower  float64 `json:"appetite_power"`
	PreyShift      float64 `json:"prey_shift"`
	Piecemeal      float64 `json:"piecemeal"`
	Pressure       float64 `json:"pressure"`
	PressurePower  float64 `json:"pressure_power"`
	EdgeSteepness  float64 `json:"edge_steepness"`
	Hardiness      float64 `json:"hardiness"`
	Rivalry        float64 `json:"rivalry"`
	OwnKind        float64 `json:"own_kind"`
	Nipping        float64 `json:"nipping"`
	WaterStress    float64 `json:"water_stress"`
	ZoneFloor      float64 `json:"zone_floor"`
	RoomPower      float64 `json:"room_power"`
	FeedingRace    float64 `json:"feeding_race"`
	DietClash      float64 `json:"diet_clash"`
	BroodGuarding  float64 `json:"brood_guarding"`
	HybridCrossing float64 `json:"hybrid_crossing"`
}

// WeightSpec describes one weight: what it means, which way it pushes, where the
// fit starts and how far it may go.
type WeightSpec struct {
	Key             string
	Meaning         string
	Start, Min, Max float64
	At              func(*Weights) *float64
}

// WeightSpecs lists the weights in a fixed order. Starting values are common
// practice put into numbers, no source; fitted values are calibrated on the
// development judgements. A hazard of 0.29, 0.69 and 1.39 alone reaches moderate,
// high and severe. Raising a weight raises scores unless its meaning says
// otherwise.
var WeightSpecs = []WeightSpec{
	{"predation", "hazard when a keen predator meets prey that surely fits its mouth", 3, 1.8, 5, func(w *Weights) *float64 { return &w.Predation }},
	{"appetite_power", "exponent on readiness to take fish; lower trusts the half-hearted less", 0.7, 0.35, 1.3, func(w *Weights) *float64 { return &w.AppetitePower }},
	{"prey_shift", "factor on every catalogued prey limit and gape", 1, 0.7, 1.4, func(w *Weights) *float64 { return &w.PreyShift }},
	{"piecemeal", "hazard of a constant biter that lives on fish, for fish of any size", 1.5, 0.3, 3, func(w *Weights) *float64 { return &w.Piecemeal }},
	{"pressure", "hazard of full aggression against a far smaller, defenceless fish", 4, 1, 9, func(w *Weights) *float64 { return &w.Pressure }},
	{"pressure_power", "exponent of the curve of the aggression grade; higher spares mild fish", 2, 1.7, 3.5, func(w *Weights) *float64 { return &w.PressurePower }},
	{"edge_steepness", "slope of the size edge over ln(length ratio); higher presses the smaller and spares the larger", 1.5, 0.5, 4, func(w *Weights) *float64 { return &w.EdgeSteepness }},
	{"hardiness", "share of the pressure that even a bold, quick fish feels", 0.35, 0.05, 0.9, func(w *Weights) *float64 { return &w.Hardiness }},
	{"rivalry", "hazard between two fully intolerant look-alikes of different species", 2.5, 0.3, 6, func(w *Weights) *float64 { return &w.Rivalry }},
	{"own_kind", "hazard within one species that kills its own kind", 2, 0.8, 4, func(w *Weights) *float64 { return &w.OwnKind }},
	{"nipping", "hazard of a constant nipper on veiled or helpless fish", 2, 0.5, 5, func(w *Weights) *float64 { return &w.Nipping }},
	{"water_stress", "hazard, for each of the two, of living at the edge of the tolerated range", 0.35, 0.1, 1, func(w *Weights) *float64 { return &w.WaterStress }},
	{"zone_floor", "share of aggression and feeding that reaches across zones", 0.4, 0.15, 0.9, func(w *Weights) *float64 { return &w.ZoneFloor }},
	{"room_power", "exponent on crowding; higher makes room matter more", 0.3, 0.05, 0.8, func(w *Weights) *float64 { return &w.RoomPower }},
	{"feeding_race", "hazard of one that gets nothing at the same table", 2, 0.8, 4, func(w *Weights) *float64 { return &w.FeedingRace }},
	{"diet_clash", "hazard of feeding a greedy grazer and a carnivore at the same table; a small thing by itself", 0.4, 0.1, 0.8, func(w *Weights) *float64 { return &w.DietClash }},
	{"brood_guarding", "hazard of a fierce parent for a defenceless neighbour", 0.5, 0.05, 2, func(w *Weights) *float64 { return &w.BroodGuarding }},
	{"hybrid_crossing", "hazard of two species that cross and whose young come up, just moderate by itself", 0.3, 0.29, 0.35, func(w *Weights) *float64 { return &w.HybridCrossing }},
}

//go:embed weights.json
var embeddedWeights []byte

// StartingWeights are the weights before any fit.
func StartingWeights() Weights {
	w := Weights{Version: "start"}
	for _, s := range WeightSpecs {
		*s.At(&w) = s.Start
	}
	return w
}

// EmbeddedWeights are the fitted weights compiled into the binary. An error means
// that weights.json was edited by hand into something illegal.
func EmbeddedWeights() (Weights, error) {
	var w Weights
	if err := json.Unmarshal(embeddedWeights, &w); err != nil {
		return Weights{}, fmt.Errorf("conflict: weights.json: %w", err)
	}
	return w, w.Validate()
}

// Validate reports a weight outside the range that [WeightSpecs] allows.
func (w Weights) Validate() error {
	if w.Version == "" {
		return fmt.Errorf("conflict: weights have no version")
	}
	for _, s := range WeightSpecs {
		if v := *s.At(&w); !(v >= s.Min && v <= s.Max) {
			return fmt.Errorf("conflict: weight %s = %v is outside %v to %v", s.Key, v, s.Min, s.Max)
		}
	}
	return nil
}

// Rounded returns the weights to three decimals, which is finer than any fit can
// tell apart.
func (w Weights) Rounded() Weights {
	for _, s := range WeightSpecs {
		at := s.At(&w)
		*at = math.Round(*at*1000) / 1000
	}
	return w
}
