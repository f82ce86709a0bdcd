package units_test

import (
	"errors"
	"math"
	"testing"

	"commensal/internal/units"
)

// fuzzParser states the law of every parser: it never panics, and gives either a
// showable ParseError or a value in range that has already been rounded.
func fuzzParser(f *testing.F, parse parser, round func(float64) float64, low, high float64, seeds ...string) {
	for _, s := range append(seeds, "", "1,5 cm", "0x1p4", "1e9 m", "NaN", "\x00", "\xff", "-1 C", "1 .") {
		f.Add(s, "")
	}
	f.Fuzz(func(t *testing.T, s, implied string) {
		got, err := parse(s, units.Unit(implied))
		if err != nil {
			requireParseError(t, err)
			return
		}
		if math.IsNaN(got) || got < low || got > high || round(got) != got {
			t.Errorf("%q gave %v", s, got)
		}
	})
}

func requireParseError(t *testing.T, err error) {
	t.Helper()
	var perr *units.ParseError
	if !errors.As(err, &perr) {
		t.Fatalf("got %T, want a ParseError", err)
	}
	requireShowable(t, perr)
}

func FuzzParseLength(f *testing.F) {
	fuzzParser(f, units.ParseLength, units.RoundLength, 0.01, units.MaxLength, "48in", `48"`, "1.2m", "35 mm", "4 ft")
}

func FuzzParseVolume(f *testing.F) {
	fuzzParser(f, units.ParseVolume, units.RoundVolume, 0.001, units.MaxVolume, "55gal", "20 imp gal", "0.2m³", "200l")
}

func FuzzParseTemperature(f *testing.F) {
	fuzzParser(f, units.ParseTemperature, units.RoundTemperature, 0, 100, "78F", "25 °C", "298.15K")
}

func FuzzParseHardness(f *testing.F) {
	fuzzParser(f, units.ParseHardness, units.RoundHardness, 0, units.MaxHardness, "10dH", "178ppm", "18 °fH", "3.6meq")
}

func FuzzParseSalinity(f *testing.F) {
	fuzzParser(f, units.ParseSalinity, units.RoundSalinity, 0, units.MaxSalinity, "5ppt", "1.010sg", "35 psu")
}

func FuzzParseTank(f *testing.F) {
	for _, s := range []string{"120x45x50cm", "48 x 24 x 24 in", "4ft x 18in x 24in", "180×60×60", "0x1x2m", "1x2", "\x00x1x1"} {
		f.Add(s, "cm")
	}
	f.Fuzz(func(t *testing.T, s, implied string) {
		tank, err := units.ParseTank(s, units.Unit(implied))
		if err != nil {
			requireParseError(t, err)
			return
		}
		for _, side := range []float64{tank.Length, tank.Width, tank.Height} {
			if !(side >= 0.01 && side <= units.MaxLength) || units.RoundLength(side) != side {
				t.Errorf("%q gave %+v", s, tank)
			}
		}
		if v := tank.Volume(); !(v > 0) || math.IsInf(v, 0) || !(tank.Footprint() > 0) {
			t.Errorf("%q gave volume %v", s, v)
		}
	})
}
