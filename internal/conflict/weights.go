package conflict

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"commensal/internal/species"
)

// Weights are the free numbers of the model: the only ones that calibration may
// move. All else is fixed, in the file of its factor. Each is described in [WeightSpecs].
type Weights struct {
	// Version names the fit; it is part of the model version of every answer.
	Version string `json:"version"`

	Predation       float64 `json:"predation"`
	AppetitePower   float64 `json:"appetite_power"`
	TakeSteepness   float64 `json:"take_steepness"`
	TakeBeyond      float64 `json:"take_beyond"`
	GapeShare       float64 `json:"gape_share"`
	DepthWeight     float64 `json:"depth_weight"`
	Mettle          float64 `json:"mettle"`
	Sluggish        float64 `json:"sluggish"`
	LimitPower      float64 `json:"limit_power"`
	ReachAmbush     float64 `json:"reach_ambush"`
	ReachChase      float64 `json:"reach_chase"`
	ReachSeize      float64 `json:"reach_seize"`
	ReachProwl      float64 `json:"reach_prowl"`
	ReachSuck       float64 `json:"reach_suck"`
	ReachSift       float64 `json:"reach_sift"`
	ReachOther      float64 `json:"reach_other"`
	Mishap          float64 `json:"mishap"`
	MishapLength    float64 `json:"mishap_length"`
	MishapSteepness float64 `json:"mishap_steepness"`
	Piecemeal       float64 `json:"piecemeal"`
	ArmourDeters    float64 `json:"armour_deters"`
	ArmourPower     float64 `json:"armour_power"`

	ShellSpares float64 `json:"shell_spares"`
	ShellCrush  float64 `json:"shell_crush"`
	PickApart   float64 `json:"pick_apart"`
	PickLength  float64 `json:"pick_length"`
	ClawGrip    float64 `json:"claw_grip"`
	ClawReach   float64 `json:"claw_reach"`

	Pressure      float64 `json:"pressure"`
	PressurePower float64 `json:"pressure_power"`
	EdgeSteepness float64 `json:"edge_steepness"`
	Build         float64 `json:"build"`
	Hardiness     float64 `json:"hardiness"`
	SlowWeight    float64 `json:"slow_weight"`
	Restless      float64 `json:"restless"`
	Company       float64 `json:"company"`
	GrazerSpared  float64 `json:"grazer_spared"`
	ArmourShields float64 `json:"armour_shields"`
	ArmsMatch     float64 `json:"arms_match"`
	FuryCows      float64 `json:"fury_cows"`
	FuryPierces   float64 `json:"fury_pierces"`
	ShoalBears    float64 `json:"shoal_bears"`
	Rivalry       float64 `json:"rivalry"`
	RivalPower    float64 `json:"rival_power"`
	LikeShape     float64 `json:"like_shape"`
	LikeColour    float64 `json:"like_colour"`
	OwnKind       float64 `json:"own_kind"`
	OwnPower      float64 `json:"own_power"`
	Mistaken      float64 `json:"mistaken"`

	Nipping      float64 `json:"nipping"`
	NipPower     float64 `json:"nip_power"`
	NipAny       float64 `json:"nip_any"`
	NipSlow      float64 `json:"nip_slow"`
	NipSpineless float64 `json:"nip_spineless"`

	FeedingRace float64 `json:"feeding_race"`
	RaceFloor   float64 `json:"race_floor"`
	Bustle      float64 `json:"bustle"`
	BustleFrom  float64 `json:"bustle_from"`
	DietClash   float64 `json:"diet_clash"`
	Starving    float64 `json:"starving"`

	BroodGuarding  float64 `json:"brood_guarding"`
	HybridCrossing float64 `json:"hybrid_crossing"`

	// Water, Core and Outside are in the order of the water parameters; Outside has those of
	// temperature and pH alone.
	Water      [species.NumParameters]float64 `json:"water"`
	Core       [species.NumParameters]float64 `json:"core"`
	Outside    [2]float64                     `json:"outside"`
	Season     float64                        `json:"season"`
	RangeEases float64                        `json:"range_eases"`
	ShellHardy float64                        `json:"shell_hardy"`
	ShopHardy  float64                        `json:"shop_hardy"`

	ZoneFloor   float64 `json:"zone_floor"`
	Giant       float64 `json:"giant"`
	Land        float64 `json:"land"`
	RoomPower   float64 `json:"room_power"`
	CoverEffect float64 `json:"cover_effect"`
	Cramped     float64 `json:"cramped"`
}

// WeightSpec describes one weight: what it means, which way it pushes, where the
// fit starts and how far it may go.
type WeightSpec struct {
	Key             string
	Meaning         string
	Start, Min, Max float64
	At              func(*Weights) *float64
}

// WeightSpecs lists the weights in a fixed order, factor by factor. Starting values are common
// practice put into numbers, no source; fitted values are calibrated on the
// development judgements. A hazard of 0.29, 0.69 and 1.39 alone reaches moderate,
// high and severe. Raising a weight raises scores unless its meaning says
// otherwise.
var WeightSpecs = slices.Concat(predationWeights, invertebrateWeights, temperamentWeights, nippingWeights,
	feedingWeights, breedingWeights, waterWeights, zoneWeights, spaceWeights)

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
