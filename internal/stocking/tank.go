package stocking

import (
	"commensal/internal/conflict"
)

// Tank is a tank with its equipment and habits. Parts that are not known are nil or
// zero; nothing is assumed for them without being named in the answer.
type Tank struct {
	conflict.Tank
	VolumeL         float64  // given volume in litres where dimensions are not known
	TurnoverPerHour float64  // filter flow as volumes per hour; 0 when not known
	WeeklyChange    *float64 // share of the water changed weekly, 0 to 1
	Lid             *bool
	FilterMature    *bool
	Planted         *bool
	Substrate       string   // "sand", "gravel", "bare" or "" when not known
	SourceNitrate   *float64 // mg/L NO3 in the tap water
	Swings          Swings   // of the readings of late, where there are any
}

// TankOf is a tank of a size, with nothing else known.
func TankOf(size conflict.TankSize) *Tank {
	return &Tank{Tank: conflict.Tank{LengthCM: size.LengthCM, WidthCM: size.WidthCM, HeightCM: size.HeightCM}}
}

// Volume is the full inside volume in litres: from the dimensions, else as given; 0
// when neither is known.
func (t *Tank) Volume() float64 {
	if t == nil {
		return 0
	}
	if t.HasFootprint() && t.HeightCM > 0 {
		return t.LengthCM * t.WidthCM * t.HeightCM / 1000
	}
	return t.VolumeL
}

// TankKey is a tank without pointers: equal keys are tanks alike in everything.
type TankKey struct {
	tank                                Tank
	change, source                      float64
	hasChange, hasSource                bool
	lid, mature, planted                bool
	lidKnown, matureKnown, plantedKnown bool
}

func KeyOf(t *Tank) TankKey {
	k := TankKey{tank: *t}
	k.change, k.hasChange = deref(t.WeeklyChange)
	k.source, k.hasSource = deref(t.SourceNitrate)
	k.lid, k.lidKnown = deref(t.Lid)
	k.mature, k.matureKnown = deref(t.FilterMature)
	k.planted, k.plantedKnown = deref(t.Planted)
	k.tank.WeeklyChange, k.tank.SourceNitrate, k.tank.Lid, k.tank.FilterMature, k.tank.Planted = nil, nil, nil, nil, nil
	return k
}

func deref[T any](p *T) (v T, ok bool) {
	if p == nil {
		return v, false
	}
	return *p, true
}
