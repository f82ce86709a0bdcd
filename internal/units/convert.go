package units

// Definitions. Inch, foot and the gallons are exact: ISO 31-1:1992 annex and
// NIST SP 811 appendix B.
const (
	// CMPerInch is the length of one inch in cm.
	CMPerInch = 2.54
	// CMPerFoot is the length of one foot in cm.
	CMPerFoot = 12 * CMPerInch
	// LitresPerUSGallon is 231 cubic inches in L.
	LitresPerUSGallon = 231 * CMPerInch * CMPerInch * CMPerInch / 1000
	// LitresPerUKGallon is the imperial gallon in L.
	LitresPerUKGallon = 4.54609
)

// Hardness. One German degree is 10 mg CaO per litre; with the IUPAC molar masses
// that is 17.848 mg/L as CaCO3. The French degree and the milliequivalent are
// nominal: 10 mg/L and half a mole of CaCO3 respectively (water-utility and FAO
// glossary conversions).
const (
	molarMassCaCO3 = 100.0869 // g/mol
	molarMassCaO   = 56.0774  // g/mol

	// MgCaCO3PerDH is the hardness of 1 °dH in mg/L as CaCO3 (ppm).
	MgCaCO3PerDH = 10 * molarMassCaCO3 / molarMassCaO
	// MgCaCO3PerFH is the hardness of 1 French degree in mg/L as CaCO3.
	MgCaCO3PerFH = 10.0
	// MgCaCO3PerMeq is the hardness of 1 meq/L in mg/L as CaCO3.
	MgCaCO3PerMeq = molarMassCaCO3 / 2
	// MgCaCO3PerMmol is the hardness of 1 mmol/L in mg/L as CaCO3.
	MgCaCO3PerMmol = molarMassCaCO3
)

// kelvinAtZeroCelsius is 0 °C in K, by definition.
const kelvinAtZeroCelsius = 273.15

// FahrenheitToCelsius converts °F to °C.
func FahrenheitToCelsius(f float64) float64 { return (f - 32) / 1.8 }

// CelsiusToFahrenheit converts °C to °F.
func CelsiusToFahrenheit(c float64) float64 { return c*1.8 + 32 }

// KelvinToCelsius converts K to °C.
func KelvinToCelsius(k float64) float64 { return k - kelvinAtZeroCelsius }

// DHToPPM converts general hardness from °dH to mg/L as CaCO3.
func DHToPPM(dh float64) float64 { return dh * MgCaCO3PerDH }

// PPMToDH converts general hardness from mg/L as CaCO3 to °dH.
func PPMToDH(ppm float64) float64 { return ppm / MgCaCO3PerDH }
