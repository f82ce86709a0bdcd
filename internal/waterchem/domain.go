package waterchem

import "fmt"

// Quantity names what a [DomainError] is about, in a form that is safe to show and
// to compare.
type Quantity string

// The quantities that can be out of range.
const (
	Temperature     Quantity = "temperature"
	Salinity        Quantity = "salinity"
	Altitude        Quantity = "altitude"
	AirPressure     Quantity = "air_pressure"
	PH              Quantity = "ph"
	Ammonia         Quantity = "total_ammonia_nitrogen"
	Feed            Quantity = "feed"
	Protein         Quantity = "protein_share"
	Share           Quantity = "share"
	Alkalinity      Quantity = "alkalinity"
	Moles           Quantity = "moles_per_mole"
	Nitrogen        Quantity = "nitrogen"
	Nitrate         Quantity = "nitrate"
	NitrateNitrogen Quantity = "nitrate_nitrogen"
	Rise            Quantity = "nitrate_rise"
	Days            Quantity = "days"
	Volume          Quantity = "volume"
	Count           Quantity = "count"
	Length          Quantity = "length"
	FishLength      Quantity = "fish_length"
	Weight          Quantity = "weight"
	Coefficient     Quantity = "length_weight_coefficient"
	Exponent        Quantity = "exponent"
	Condition       Quantity = "condition"
	Asymptote       Quantity = "asymptote"
	GrowthRate      Quantity = "growth_rate"
	AgeAtZero       Quantity = "age_at_zero_length"
	Age             Quantity = "age"
	Span            Quantity = "span"
	Q10             Quantity = "q10"
	BodyMass        Quantity = "body_mass"
	Edge            Quantity = "tank_edge"
	Thickness       Quantity = "glass_thickness"
	Depth           Quantity = "depth"
	Mass            Quantity = "mass"
	Load            Quantity = "floor_load"
	TypicalValue    Quantity = "typical_value"
)

var quantityUnit = map[Quantity]string{
	Temperature: "°C", Salinity: "PSU", Altitude: "m", AirPressure: "kPa",
	Ammonia: "mg/L", Nitrate: "mg/L", NitrateNitrogen: "mg/L", Rise: "mg/L",
	Alkalinity: "mg/L CaCO3", Feed: "g", Nitrogen: "g", Days: "d", Volume: "L",
	Length: "cm", Weight: "g", BodyMass: "g", Mass: "kg",
	Age: "years", AgeAtZero: "years", Span: "years", GrowthRate: "1/year",
	Thickness: "mm", Edge: "cm", Depth: "cm",
}

// Unit is the unit in which the quantity is given, or "" where it has none or where
// the caller's own unit is used.
func (q Quantity) Unit() string { return quantityUnit[q] }

// DomainError says that a value is not a number, or lies outside the range the
// formula is used for. Min and Max are the accepted range, both ends included.
type DomainError struct {
	Quantity Quantity
	Value    float64
	Min, Max float64
}

// Error describes the value and the accepted range.
func (e *DomainError) Error() string {
	unit := e.Quantity.Unit()
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s %g is outside %g to %g%s", e.Quantity, e.Value, e.Min, e.Max, unit)
}

// within returns a *DomainError unless lowest ≤ v ≤ highest; NaN fails too.
func within(q Quantity, v, lowest, highest float64) error {
	if v >= lowest && v <= highest {
		return nil
	}
	return &DomainError{Quantity: q, Value: v, Min: lowest, Max: highest}
}

// firstError returns the first error that is not nil.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// kelvin converts °C to K.
func kelvin(celsius float64) float64 { return celsius + 273.15 }

// Molar masses in g/mol, from the IUPAC atomic weights.
const (
	molarNitrogen         = 14.0067
	molarNitrate          = 62.0049
	molarOxygen           = 31.998
	molarCalciumCarbonate = 100.0869
	molarCalciumOxide     = 56.0774
)
