package waterchem

import "testing"

var massChecks = []check{
	{"1.8", "Fofonoff & Millard 1983", func(t *testing.T, r row, _ map[string]row) {
		var got []float64
		in := r.nums(t, "S_t")
		for i := 0; i < len(in); i += 2 {
			got = append(got, eos80Fresh(in[i+1])+saltDensity(in[i+1], in[i]))
		}
		r.near(t, got...)
	}},
	{"14.1", "Tanaka, Girard, Davis, Peuto & Bignell 2001", freshWaterDensity},
	{"14.2", "IAPWS / CRC Handbook", freshWaterDensity},
	{"14.3", "Tanaka, Girard, Davis, Peuto & Bignell 2001", func(t *testing.T, r row, _ map[string]row) {
		litres, kilograms := fullTank(t, r)
		r.near(t, litres, kilograms)
	}},
	{"14.4", "EN 572-1", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(r.nums(t, "thickness_mm"), func(mm float64) float64 {
			return value[float64](t)(GlassArealMass(mm))
		})...)
	}},
	{"14.5", "EN 572-1", func(t *testing.T, r row, _ map[string]row) {
		area := value[float64](t)(boxOf(t, r).GlassArea())
		r.near(t, area, glassOf(t, r))
	}},
	{"14.6", "Geometry", func(t *testing.T, r row, all map[string]row) {
		_, water := fullTank(t, all["14.3"])
		glass := glassOf(t, all["14.5"])
		box := boxOf(t, all["14.5"])
		load := value[float64](t)(FloorLoad(water+glass, box.Length, box.Width))
		r.near(t, load, value[float64](t)(PoundsPerSquareFoot(load)))
	}},
	{"14.7", "1 lbf/ft2 = 47.88 N/m2", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, value[float64](t)(KilonewtonsPerM2(r.num(t, "lbf_ft2"))))
	}},
	{"14.8", "Tanaka, Girard, Davis, Peuto & Bignell 2001", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, value[float64](t)(BottomPressure(
			centimetres(r.num(t, "depth_in")), r.num(t, "t_C"), 0)))
	}},
	{"14.9", "Geometry", func(t *testing.T, r row, _ map[string]row) {
		c, s := r.num(t, "t_C"), r.num(t, "S")
		r.near(t, value[float64](t)(SeaWaterRatio(c, s)))
		kilograms := value[float64](t)
		r.near(t, kilograms(WaterMass(100, c, s))/kilograms(WaterMass(100, c, 0)))
	}},
}

func freshWaterDensity(t *testing.T, r row, _ map[string]row) {
	r.near(t, each(r.nums(t, "t_C"), func(c float64) float64 {
		return value[float64](t)(WaterDensity(c, 0))
	})...)
}

func boxOf(t *testing.T, r row) Box {
	t.Helper()
	in := r.nums(t, "LWH_in")
	return Box{centimetres(in[0]), centimetres(in[1]), centimetres(in[2])}
}

func fullTank(t *testing.T, r row) (litres, kilograms float64) {
	t.Helper()
	litres = value[float64](t)(boxOf(t, r).Litres())
	return litres, value[float64](t)(WaterMass(litres, r.num(t, "t_C"), 0))
}

func glassOf(t *testing.T, r row) float64 {
	t.Helper()
	return value[float64](t)(boxOf(t, r).GlassMass(r.num(t, "thickness_mm")))
}
