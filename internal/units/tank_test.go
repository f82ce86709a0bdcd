package units_test

import (
	"math"
	"testing"

	"commensal/internal/units"
)

func TestParseTankReadsLengthWidthHeight(t *testing.T) {
	tests := []struct {
		name, in string
		implied  units.Unit
		want     units.TankSize
	}{
		{"one unit at the end", "120x45x50cm", units.None, units.TankSize{Length: 120, Width: 45, Height: 50}},
		{"inches", "48x24x24in", units.None, units.TankSize{Length: 121.92, Width: 60.96, Height: 60.96}},
		{"inches with spaces", "48 x 24 x 24 in", units.None, units.TankSize{Length: 121.92, Width: 60.96, Height: 60.96}},
		{"multiplication signs", "180×60×60 cm", units.None, units.TankSize{Length: 180, Width: 60, Height: 60}},
		{"a capital X", "180X60X60 CM", units.None, units.TankSize{Length: 180, Width: 60, Height: 60}},
		{"a unit with every part", "4ft x 18in x 24in", units.None, units.TankSize{Length: 121.92, Width: 45.72, Height: 60.96}},
		{"inch marks", `48" x 24" x 24"`, units.None, units.TankSize{Length: 121.92, Width: 60.96, Height: 60.96}},
		{"no unit but an implied one", "120x45x50", units.Centimetre, units.TankSize{Length: 120, Width: 45, Height: 50}},
		{"order is kept even when the width is the longer side", "45x120x50cm", units.None, units.TankSize{Length: 45, Width: 120, Height: 50}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := units.ParseTank(tt.in, tt.implied)
			if err != nil || got != tt.want {
				t.Errorf("%q gave %+v, %v, want %+v", tt.in, got, err, tt.want)
			}
		})
	}
}

func TestParseTankRefusesWithTheReason(t *testing.T) {
	tests := []struct {
		name string
		code units.Code
		in   []string
	}{
		{"two parts are not a tank", units.WrongParts, []string{"120x45cm", "120cm", "120x45x"}},
		{"four parts are not a tank", units.WrongParts, []string{"1x2x3x4cm", "x1x2x3cm", "1xx2x3cm"}},
		{"no unit at all", units.NoUnit, []string{"120x45x50"}},
		{"a unit on some sides only", units.NoUnit, []string{"4ft x 18 x 24in", "120cm x 45 x 50", "120cm x 45cm x 50"}},
		{"a volume is no side", units.UnknownUnit, []string{"120x45x50l"}},
		{"a decimal comma", units.Comma, []string{"120,5x45x50cm"}},
		{"a side of zero", units.OutOfRange, []string{"0x45x50cm", "120x45x0cm"}},
		{"a side of more than a kilometre", units.OutOfRange, []string{"1001x45x50m"}},
		{"words", units.NotANumber, []string{"NaN x 45 x 50 cm", "a x b x c"}},
		{"a sign", units.Signed, []string{"120x-45x50cm"}},
		{"a NUL byte", units.NotText, []string{"120x45x50\x00cm"}},
		{"nothing", units.Empty, []string{""}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, in := range tt.in {
				_, err := units.ParseTank(in, units.None)
				requireCode(t, in, err, tt.code)
			}
		})
	}
}

func TestTankGeometry(t *testing.T) {
	tank := units.TankSize{Length: 100, Width: 40, Height: 50}
	if tank.Volume() != 200 || tank.Footprint() != 4000 {
		t.Errorf("got %v L on %v cm², want 200 L on 4000 cm²", tank.Volume(), tank.Footprint())
	}
}

func TestSpecificGravityOutsideTheScaleIsNotANumber(t *testing.T) {
	for _, sg := range []float64{0, 0.9999, 1.04, math.NaN(), math.Inf(1)} {
		if got := units.SalinityFromSpecificGravity(sg); !math.IsNaN(got) {
			t.Errorf("gravity %v gave salinity %v", sg, got)
		}
	}
}
