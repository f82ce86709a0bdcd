package lists

import (
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/units"
)

// Tank reads the tank of a list.
func (r *Reader) Tank(in *gen.TankInput) *stocking.Tank { return r.tankAt("/tank", in) }

// tankAt reads a tank that stands at a place in the body; nil where none is given or
// nothing is said of it.
func (r *Reader) tankAt(at string, in *gen.TankInput) *stocking.Tank {
	if in == nil || *in == (gen.TankInput{}) {
		return nil
	}
	t := &stocking.Tank{
		TurnoverPerHour: wire.Value(in.TurnoverPerHour), WeeklyChange: in.WeeklyChange, Lid: in.Lid,
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
			p := wire.WaterParameters[w]
			t.Reading[w] = conflict.Reading{Value: r.Quantity(at, string(p.Name), raw, p.Quantity), Known: true}
		}
	}
	return t
}

// dimensions reads the room: one way of telling it, whole and without contradiction.
func (r *Reader) dimensions(at string, in *gen.TankInput, t *stocking.Tank) {
	sides := [...]*gen.Quantity{in.LengthCm, in.WidthCm, in.HeightCm}
	if in.Size != nil {
		size, ok := plainSize(*in.Size)
		if !ok {
			size, ok = wire.ReadTankAt(wire.BodySpot(at, "size"), *in.Size, &r.Found)
		}
		if ok {
			t.LengthCM, t.WidthCM, t.HeightCM = size.Length, size.Width, size.Height
		}
		for i, name := range [...]string{"length_cm", "width_cm", "height_cm"} {
			if sides[i] != nil {
				r.Impossible(at+"/"+name, "The side is given beside size.", "give either size or the sides")
			}
		}
	} else {
		t.LengthCM = r.Quantity(at, "length_cm", in.LengthCm, wire.Side)
		t.WidthCM = r.Quantity(at, "width_cm", in.WidthCm, wire.Side)
		t.HeightCM = r.Quantity(at, "height_cm", in.HeightCm, wire.Side)
		r.footprint(at, in)
	}
	t.VolumeL = r.Quantity(at, "volume_l", in.VolumeL, wire.Volume)
	whole := in.Size != nil || in.LengthCm != nil && in.WidthCm != nil && in.HeightCm != nil
	if in.VolumeL != nil && whole {
		r.Impossible(at+"/volume_l", "The volume is given beside all three dimensions, which give it already.", "leave out volume_l")
	}
}

// footprint refuses a length without a width, and the other way round.
func (r *Reader) footprint(at string, in *gen.TankInput) {
	missing := ""
	switch {
	case in.LengthCm == nil && (in.WidthCm != nil || in.HeightCm != nil):
		missing = "length_cm"
	case in.WidthCm == nil && (in.LengthCm != nil || in.HeightCm != nil):
		missing = "width_cm"
	default:
		return
	}
	r.Impossible(at+"/"+missing, strconv.Quote(missing)+" is missing beside the other sides.", "give length_cm and width_cm together")
}

// plainSize reads a size as programs write it, three whole numbers of two or three digits as in 120x50x50cm; false for any other,
// which may be one too.
func plainSize(text string) (size units.TankSize, ok bool) {
	sides, ok := strings.CutSuffix(text, "cm")
	if !ok {
		return size, false
	}
	for i, side := range [...]*float64{&size.Length, &size.Width, &size.Height} {
		n := 0
		for n < len(sides) && '0' <= sides[n] && sides[n] <= '9' {
			*side = *side*10 + float64(sides[n]-'0')
			n++
		}
		if n < 2 || n > 3 || sides[0] == '0' || i < 2 && (n == len(sides) || sides[n] != 'x') || i == 2 && n < len(sides) {
			return units.TankSize{}, false
		}
		sides = sides[min(n+1, len(sides)):]
	}
	return size, true
}
