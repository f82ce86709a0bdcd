package units_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"commensal/internal/units"
)

// formats pairs each format with the parser that must read it, the range it is
// used in and how far apart two values of one text can lie, in SI.
var formats = []struct {
	name      string
	format    func(float64) string
	parse     parser
	low, high float64
	step      float64
	stable    float64 // from here on, formatting what was parsed gives the same text
}{
	{"FormatLength", units.FormatLength, units.ParseLength, 0.01, units.MaxLength, 1, 0},
	{"FormatLengthUS", units.FormatLengthUS, units.ParseLength, 0.01, units.MaxLength - 2, 2.54, 0.13},
	{"FormatVolume", units.FormatVolume, units.ParseVolume, 0.001, units.MaxVolume, 1, 0},
	{"FormatVolumeUS", units.FormatVolumeUS, units.ParseVolume, 0.001, units.MaxVolume - 4, 3.79, 0.19},
	{"FormatTemperature", units.FormatTemperature, units.ParseTemperature, 0, 100, 0.1, 0},
	{"FormatTemperatureUS", units.FormatTemperatureUS, units.ParseTemperature, 0, 100, 0.56, 0},
	{"FormatHardness", units.FormatHardness, units.ParseHardness, 0, units.MaxHardness, 1, 0},
	{"FormatHardnessUS", units.FormatHardnessUS, units.ParseHardness, 0, units.MaxHardness - 1, 0.06, 0},
	{"FormatSalinity", units.FormatSalinity, units.ParseSalinity, 0, units.MaxSalinity, 1, 0},
	{"FormatSpecificGravity", units.FormatSpecificGravity, units.ParseSalinity, 0, 41, 1.4, 0},
}

func TestWhatIsFormattedParsesBack(t *testing.T) {
	for _, f := range formats {
		t.Run(f.name, rapid.MakeCheck(func(t *rapid.T) {
			x := rapid.Float64Range(f.low, f.high).Draw(t, "x")
			text := f.format(x)
			back, err := f.parse(text, units.None)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(back-x) > f.step {
				t.Fatalf("%v became %q became %v", x, text, back)
			}
			if again := f.format(back); again != text && x >= f.stable {
				t.Fatalf("%q became %v became %q", text, back, again)
			}
		}))
	}
}

func TestAFormattedTankParsesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float64Range(5, 2000)
		tank := units.TankSize{Length: side.Draw(t, "length"), Width: side.Draw(t, "width"), Height: side.Draw(t, "height")}
		for _, format := range []func(units.TankSize) string{units.FormatTank, units.FormatTankUS} {
			back, err := units.ParseTank(format(tank), units.None)
			if err != nil {
				t.Fatal(err)
			}
			if format(back) != format(tank) {
				t.Fatalf("%q became %q", format(tank), format(back))
			}
		}
	})
}

func TestTheSameTankInInchesIsTheSameTank(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hundredths := rapid.IntRange(1, 100_000)
		a, b, c := hundredths.Draw(t, "a"), hundredths.Draw(t, "b"), hundredths.Draw(t, "c")
		us := fmt.Sprintf("%sx%sx%sin", fixed(a, 2), fixed(b, 2), fixed(c, 2))
		si := fmt.Sprintf("%sx%sx%scm", fixed(a*254, 4), fixed(b*254, 4), fixed(c*254, 4))
		tankUS, err1 := units.ParseTank(us, units.None)
		tankSI, err2 := units.ParseTank(si, units.None)
		if err1 != nil || err2 != nil || tankUS != tankSI {
			t.Fatalf("%q is %v (%v), %q is %v (%v)", us, tankUS, err1, si, tankSI, err2)
		}
	})
}

func TestTheSameWaterInFahrenheitIsTheSameWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.IntRange(320, 2120).Draw(t, "tenths of °F")
		us, err1 := units.ParseTemperature(fixed(f, 1)+"F", units.None)
		si, err2 := units.ParseTemperature(fmt.Sprintf("%.6f C", float64(f-320)/18), units.None)
		if err1 != nil || err2 != nil || us != si {
			t.Fatalf("%v F is %v (%v), in C it is %v (%v)", fixed(f, 1), us, err1, si, err2)
		}
	})
}

func TestPlainNumbersRoundAsTextDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(0.01, 1000).Draw(t, "x")
		got, err := units.ParseLength(fmt.Sprintf("%.17f cm", x), units.None)
		if err != nil || got != units.RoundLength(x) {
			t.Fatalf("text gave %v (%v), the number %v", got, err, units.RoundLength(x))
		}
		if units.RoundLength(got) != got {
			t.Fatalf("rounding %v twice gave %v", got, units.RoundLength(got))
		}
	})
}

func TestSpecificGravityAndSalinityAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.Float64Range(0, units.MaxSalinity).Draw(t, "salinity")
		if back := units.SalinityFromSpecificGravity(units.SpecificGravity(s)); math.Abs(back-s) > 1e-6 {
			t.Fatalf("%v PSU came back as %v", s, back)
		}
	})
}

// fixed writes n / 10^places exactly.
func fixed(n, places int) string {
	scale := int(math.Pow10(places))
	return fmt.Sprintf("%d.%0*d", n/scale, places, n%scale)
}
