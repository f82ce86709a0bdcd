package api

import (
	"strconv"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/units"
)

// The quantities of a body that no query has. The ranges are common practice, no source.
var (
	side           = quantity{func(s string) (float64, error) { return units.ParseLength(s, units.Centimetre) }, minSide, maxSide, " cm"}
	volume         = quantity{func(s string) (float64, error) { return units.ParseVolume(s, units.Litre) }, 0.5, 1e6, " L"}
	residentLength = quantity{fishLength.parse, stocking.MinLengthCM, maxFish, " cm"}
)

// tank reads the tank of a list.
func (r *listReader) tank(in *gen.TankInput) *stocking.Tank { return r.tankAt("/tank", in) }

// tankAt reads a tank that stands at a place in the body; nil where none is given or
// nothing is said of it.
func (r *listReader) tankAt(at string, in *gen.TankInput) *stocking.Tank {
	if in == nil || *in == (gen.TankInput{}) {
		return nil
	}
	t := &stocking.Tank{
		TurnoverPerHour: value(in.TurnoverPerHour), WeeklyChange: in.WeeklyChange, Lid: in.Lid,
		FilterMature: in.FilterMature, Planted: in.Planted, SourceNitrate: in.SourceNitrateMgL,
	}
	r.dimensions(at, in, t)
	if in.Substrate != nil {
		t.Substrate = string(*in.Substrate)
	}
	if in.Cover != nil {
		t.Cover, t.CoverKnown = *in.Cover+0, true // +0 makes -0 plain
	}
	for w, raw := range [...]*gen.Quantity{in.TemperatureC, in.Ph, in.GhDh, in.SalinityPpt} {
		if raw != nil {
			p := waterParameters[w]
			t.Reading[w] = conflict.Reading{Value: r.quantity(at, string(p.name), raw, p.quantity), Known: true}
		}
	}
	return t
}

// dimensions reads the room: one way of telling it, whole and without contradiction.
func (r *listReader) dimensions(at string, in *gen.TankInput, t *stocking.Tank) {
	sides := [...]*gen.Quantity{in.LengthCm, in.WidthCm, in.HeightCm}
	if in.Size != nil {
		if size, ok := readTankAt(spot{gen.Body, at + "/size", "size"}, *in.Size, &r.found); ok {
			t.LengthCM, t.WidthCM, t.HeightCM = size.Length, size.Width, size.Height
		}
		for i, name := range [...]string{"length_cm", "width_cm", "height_cm"} {
			if sides[i] != nil {
				r.impossible(at+"/"+name, "The side is given beside size.", "give either size or the sides")
			}
		}
	} else {
		t.LengthCM = r.quantity(at, "length_cm", in.LengthCm, side)
		t.WidthCM = r.quantity(at, "width_cm", in.WidthCm, side)
		t.HeightCM = r.quantity(at, "height_cm", in.HeightCm, side)
		r.footprint(at, in)
	}
	t.VolumeL = r.quantity(at, "volume_l", in.VolumeL, volume)
	whole := in.Size != nil || in.LengthCm != nil && in.WidthCm != nil && in.HeightCm != nil
	if in.VolumeL != nil && whole {
		r.impossible(at+"/volume_l", "The volume is given beside all three dimensions, which give it already.", "leave out volume_l")
	}
}

// footprint refuses a length without a width, and the other way round.
func (r *listReader) footprint(at string, in *gen.TankInput) {
	missing := ""
	switch {
	case in.LengthCm == nil && (in.WidthCm != nil || in.HeightCm != nil):
		missing = "length_cm"
	case in.WidthCm == nil && (in.LengthCm != nil || in.HeightCm != nil):
		missing = "width_cm"
	default:
		return
	}
	r.impossible(at+"/"+missing, strconv.Quote(missing)+" is missing beside the other sides.", "give length_cm and width_cm together")
}
