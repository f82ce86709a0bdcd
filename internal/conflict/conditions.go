package conflict

import "commensal/internal/species"

// Tank is the tank a pairing is judged in. Absent parts are taken from the
// reference conditions and named as such.
type Tank struct {
	LengthCM, WidthCM, HeightCM float64 // inside; all zero when not known
	Cover                       float64 // 0 bare to 1 densely broken sight lines
	CoverKnown                  bool
	Reading                     [species.NumParameters]Reading
}

// Reading is one measured or set water value.
type Reading struct {
	Value float64
	Known bool
}

// HasFootprint reports whether the tank's dimensions are known.
func (t *Tank) HasFootprint() bool { return t.LengthCM > 0 && t.WidthCM > 0 }

// Conditions are what a score was computed under. Every answer names them.
type Conditions struct {
	LengthCM, WidthCM, HeightCM float64
	ReferenceTank               bool // the dimensions are the customary minimum, not the keeper's
	Cover                       float64
	ReferenceCover              bool
	Reading                     [species.NumParameters]Reading
	// OthersGroundCM2 is the ground that residents outside this pairing defend.
	OthersGroundCM2 float64
}

// FootprintCM2 is the floor area in cm².
func (c *Conditions) FootprintCM2() float64 { return c.LengthCM * c.WidthCM }

// VolumeL is the full inside volume in litres.
func (c *Conditions) VolumeL() float64 { return c.LengthCM * c.WidthCM * c.HeightCM / 1000 }

// Reference heights, used only for the volume in words: common practice, no source.
const (
	referenceHeightShare = 0.4
	minReferenceHeight   = 30
	maxReferenceHeight   = 70
)

// ConditionsFor completes a tank to conditions: where tank is nil or silent, the
// smallest tank that meets both species' customary minimum and normal cover.
// Water that is not given is judged at the best common point.
func ConditionsFor(a, b *Profile, tank *Tank) Conditions {
	c := Conditions{
		LengthCM:      max(a.tankLength, b.tankLength),
		WidthCM:       max(a.tankWidth, b.tankWidth),
		ReferenceTank: true, Cover: NormalCover, ReferenceCover: true,
	}
	c.HeightCM = max(a.tankHeight, b.tankHeight,
		clamp(referenceHeightShare*c.LengthCM, minReferenceHeight, maxReferenceHeight))
	if tank == nil {
		return c
	}
	if tank.HasFootprint() {
		c.LengthCM, c.WidthCM, c.HeightCM, c.ReferenceTank = tank.LengthCM, tank.WidthCM, tank.HeightCM, false
	}
	if tank.CoverKnown {
		c.Cover, c.ReferenceCover = tank.Cover, false
	}
	c.Reading = tank.Reading
	return c
}

// TankSize is one customary tank, inside dimensions in cm.
type TankSize struct{ LengthCM, WidthCM, HeightCM float64 }

// StandardTanks are the tank sizes that remedies are chosen from, smallest
// footprint first: sizes commonly sold, common practice, no source. Above 240 cm
// tanks are built to order.
var StandardTanks = []TankSize{
	{40, 25, 25}, {60, 30, 30}, {80, 35, 40}, {100, 40, 40}, {100, 50, 50}, {120, 50, 50},
	{120, 60, 60}, {150, 50, 50}, {150, 60, 60}, {180, 60, 60}, {200, 70, 60}, {240, 80, 70},
	{300, 100, 70}, {400, 150, 100},
}

// FootprintCM2 is the floor area in cm².
func (t TankSize) FootprintCM2() float64 { return t.LengthCM * t.WidthCM }
