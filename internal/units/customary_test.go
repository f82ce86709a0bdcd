package units

import (
	"math"
	"testing"
)

func TestCustomaryTanksHoldTheirVolume(t *testing.T) {
	for _, c := range []struct {
		litres float64
		want   TankSize
	}{
		{54, TankSize{60, 30, 30}}, {112, TankSize{80, 35, 40}}, {180, TankSize{100, 40, 45}}, {240, TankSize{120, 40, 50}},
		{450, TankSize{150, 50, 60}}, {720, TankSize{200, 60, 60}},
	} {
		if got := CustomaryTank(c.litres); got != c.want {
			t.Errorf("%v L: %v, want %v", c.litres, got, c.want)
		}
	}
	before := TankSize{}
	for litres := 5.0; litres < 20000; litres *= 1.07 {
		got := CustomaryTank(litres)
		if math.Abs(got.Volume()/litres-1) > 0.12 || got.Length < before.Length || got.Width < before.Width {
			t.Errorf("%v L: %v, which holds %v L, after %v", litres, got, got.Volume(), before)
		}
		before = got
	}
}
