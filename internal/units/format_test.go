package units_test

import (
	"testing"

	"commensal/internal/units"
)

func TestFormatsKeepTheDigitsThatMatter(t *testing.T) {
	tests := []struct{ name, got, want string }{
		{"a whole length", units.FormatLength(35), "35 cm"},
		{"a small length", units.FormatLength(4), "4 cm"},
		{"a small length with millimetres", units.FormatLength(3.46), "3.5 cm"},
		{"a length from inches", units.FormatLength(121.92), "122 cm"},
		{"the least length", units.FormatLength(0.01), "0.01 cm"},
		{"the least length in inches", units.FormatLengthUS(0.01), "0.004 in"},
		{"a length in inches", units.FormatLengthUS(121.92), "48 in"},
		{"a fish in inches", units.FormatLengthUS(3.5), "1.4 in"},
		{"a warm tank", units.FormatTemperature(25.5), "25.5 °C"},
		{"a tank from °F", units.FormatTemperature(25.56), "25.6 °C"},
		{"°F", units.FormatTemperatureUS(25.56), "78 °F"},
		{"freezing", units.FormatTemperature(-0.01), "0 °C"},
		{"litres", units.FormatVolume(453.07), "453 L"},
		{"few litres", units.FormatVolume(5.44), "5.4 L"},
		{"US gallons", units.FormatVolumeUS(453.07), "120 US gal"},
		{"hardness", units.FormatHardness(2.53), "2.5 °dH"},
		{"hard water", units.FormatHardness(17.6), "18 °dH"},
		{"ppm", units.FormatHardnessUS(10), "178 ppm"},
		{"brackish", units.FormatSalinity(2.5), "2.5 ppt"},
		{"sea water", units.FormatSalinity(35), "35 ppt"},
		{"hydrometer", units.FormatSpecificGravity(35), "1.026 SG"},
		{"fresh water", units.FormatSpecificGravity(0), "1.000 SG"},
		{"a tank", units.FormatTank(units.TankSize{Length: 120, Width: 45, Height: 50}), "120 × 45 × 50 cm"},
		{"a tank in inches", units.FormatTankUS(units.TankSize{Length: 121.92, Width: 60.96, Height: 60.96}), "48 × 24 × 24 in"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if tt.got != tt.want {
				t.Errorf("got %q, want %q", tt.got, tt.want)
			}
		})
	}
}
