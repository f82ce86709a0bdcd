package units_test

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/internal/units"
)

type parser func(string, units.Unit) (float64, error)

func TestParsersReadWhatPeopleWrite(t *testing.T) {
	tests := []struct {
		name  string
		parse parser
		in    map[string]float64
	}{
		{"lengths in cm", units.ParseLength, map[string]float64{
			"48in": 121.92, "120 cm": 120, "1.2m": 120, "35mm": 3.5, `48"`: 121.92, "4ft": 121.92, "4'": 121.92,
			"48″": 121.92, "48 ''": 121.92, "  2.5 Inches ": 6.35, "1 KM": -1, "1000 m": 100000, "0.1mm": 0.01,
			"12.25in": 31.12, "311.15mm": 31.12, "120\u00a0cm": 120,
		}},
		{"volumes in L, a bare gallon being the US one", units.ParseVolume, map[string]float64{
			"55gal": 208.198, "55 US gal": 208.198, "55 u.s. gallons": 208.198, "20 impgal": 90.922, "20 uk gal": 90.922,
			"20 imperial gallons": 90.922, "200l": 200, "200 Litres": 200, "0.2m3": 200, "0.2 m³": 200, "500ml": 0.5,
		}},
		{"temperatures in °C", units.ParseTemperature, map[string]float64{
			"78F": 25.56, "25C": 25, "25 °C": 25, "298.15K": 25, "78 degrees F": 25.56, "77 ℉": 25, "25 º C": 25,
			"32F": 0, "0C": 0, "273.15 K": 0,
		}},
		{"general hardness in °dH", units.ParseHardness, map[string]float64{
			"10dH": 10, "10 °dH": 10, "10 dGH": 10, "178ppm": 9.97, "178 mg/L CaCO3": 9.97, "178 mg/l CaCO₃": 9.97,
			"18fH": 10.09, "18 °fH": 10.09, "3.6meq": 10.09, "3.6 meq/l": 10.09, "1 mmol/l": 5.61, "0 dH": 0,
		}},
		{"salinity in ppt", units.ParseSalinity, map[string]float64{
			"5ppt": 5, "35 psu": 35, "35 ‰": 35, "35 g/kg": 35, "1.010sg": 13.29, "1.000 SG": 0, "0 ppt": 0,
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for in, want := range tt.in {
				got, err := tt.parse(in, units.None)
				if want < 0 {
					if err == nil {
						t.Errorf("%q gave %v, want an error", in, got)
					}
					continue
				}
				if err != nil || got != want {
					t.Errorf("%q gave %v, %v, want %v", in, got, err, want)
				}
			}
		})
	}
}

func TestParsersRefuseWithTheReason(t *testing.T) {
	tests := []struct {
		name  string
		parse parser
		code  units.Code
		in    []string
	}{
		{"a bare length has no unit", units.ParseLength, units.NoUnit, []string{"48", " 48 ", "0.5"}},
		{"another quantity's unit is not a length", units.ParseLength, units.UnknownUnit, []string{"48 gal", "48cmm", "48 .", "48 in in", "12 km", "4ft 6in"}},
		{"a decimal comma is named", units.ParseLength, units.Comma, []string{"1,2m", ",5cm", "1,200 cm"}},
		{"signs are named", units.ParseLength, units.Signed, []string{"-4cm", "+4cm", "−4cm"}},
		{"exponents are named", units.ParseLength, units.Exponent, []string{"1e3cm", "1E+3 cm", "1.5e-3m"}},
		{"hexadecimal is named", units.ParseLength, units.Hexadecimal, []string{"0x10cm", "0X1p4 cm"}},
		{"words are no numbers", units.ParseLength, units.NotANumber, []string{"NaN", "NaN cm", "Inf", "infinity cm", "cm", "cm 4", "٤ cm", "４cm"}},
		{"broken numbers are no numbers", units.ParseLength, units.NotANumber, []string{"1.2.3cm", "1.cm", ".5cm", "1 2 cm"}},
		{"lengths end at 0.1 mm and 1 km", units.ParseLength, units.OutOfRange, []string{"0cm", "0.0m", "0.00001mm", "1000.1m", strings.Repeat("9", 60) + "cm"}},
		{"blank input is empty", units.ParseLength, units.Empty, []string{"", "   ", "\u00a0"}},
		{"control characters are refused", units.ParseLength, units.NotText, []string{"4\x00cm", "4cm\n", "4\tcm", "4cm\u0085"}},
		{"broken UTF-8 is refused", units.ParseLength, units.NotText, []string{"4cm\xff", "\xc3\x28"}},
		{"long input is refused", units.ParseLength, units.TooLong, []string{strings.Repeat(" ", 61) + "4cm!", strings.Repeat("x", 1<<20)}},
		{"volumes are positive", units.ParseVolume, units.OutOfRange, []string{"0l", "0.0001 ml", "100001 m3"}},
		{"temperatures are those of liquid water", units.ParseTemperature, units.OutOfRange, []string{"31.9F", "101C", "1K"}},
		{"a lone degree sign is no scale", units.ParseTemperature, units.UnknownUnit, []string{"25°", "25 deg"}},
		{"a negative temperature is refused for its sign", units.ParseTemperature, units.Signed, []string{"-1C"}},
		{"carbonate hardness is not general hardness", units.ParseHardness, units.UnknownUnit, []string{"5 dKH", "5 KH", "5 °f", "5°"}},
		{"hardness ends at 500 °dH", units.ParseHardness, units.OutOfRange, []string{"501dH", "9000ppm"}},
		{"salinity ends with the density polynomial", units.ParseSalinity, units.OutOfRange, []string{"43ppt", "0.999sg", "1.04sg", "25sg"}},
		{"percent and grams per litre are refused", units.ParseSalinity, units.UnknownUnit, []string{"3.5%", "35 g/l", "35ppm"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, in := range tt.in {
				_, err := tt.parse(in, units.None)
				requireCode(t, in, err, tt.code)
			}
		})
	}
}

// requireCode checks the code of a ParseError and that it is fit to be shown.
func requireCode(t *testing.T, in string, err error, want units.Code) {
	t.Helper()
	var perr *units.ParseError
	if !errors.As(err, &perr) {
		t.Errorf("%.80q gave %v, want a ParseError", in, err)
		return
	}
	if perr.Code != want {
		t.Errorf("%.80q gave code %s, want %s", in, perr.Code, want)
	}
	requireShowable(t, perr)
}

func requireShowable(t *testing.T, perr *units.ParseError) {
	t.Helper()
	if n := utf8.RuneCountInString(perr.Input); n > 40 {
		t.Errorf("the error repeats %d runes of the input", n)
	}
	if strings.ContainsAny(perr.Error(), "\x00\n\r\t\x1b") || !utf8.ValidString(perr.Error()) {
		t.Errorf("the error is not printable: %q", perr.Error())
	}
	if perr.What == "" || perr.Fix == "" {
		t.Errorf("the error lacks what was wrong or the fix: %+v", perr)
	}
}

func TestErrorsEchoTheInputShortAndPrintable(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"forty runes stand whole", strings.Repeat("ä", 40), strings.Repeat("ä", 40)},
		{"one more is cut and marked", strings.Repeat("ä", 41), strings.Repeat("ä", 39) + "…"},
		{"broken bytes count one each", strings.Repeat("\xff", 41), strings.Repeat("\ufffd", 39) + "…"},
		{"direction overrides do not reach a screen", "\u202e4cm", "\ufffd4cm"},
		{"escapes do not reach a terminal", "\x1b[31m", "\ufffd[31m"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := units.ParseLength(tt.in, units.None)
			var perr *units.ParseError
			if !errors.As(err, &perr) || perr.Input != tt.want {
				t.Errorf("got %+v, want input %q", perr, tt.want)
			}
		})
	}
}

func TestABareNumberTakesTheImpliedUnit(t *testing.T) {
	if got, err := units.ParseLength("48", units.Inch); err != nil || got != 121.92 {
		t.Errorf("got %v, %v", got, err)
	}
	if got, err := units.ParseLength("48 cm", units.Inch); err != nil || got != 48 {
		t.Errorf("a stated unit must win: got %v, %v", got, err)
	}
	if got, err := units.ParseSalinity("1.025", units.Gravity); err != nil || got != 33.19 {
		t.Errorf("got %v, %v", got, err)
	}
	_, err := units.ParseLength("48", units.Litre)
	requireCode(t, "48 with an implied unit of volume", err, units.NoUnit)
	_, err = units.ParseLength("48 .", units.Inch)
	requireCode(t, "a stray point", err, units.UnknownUnit)
}
