package waterchem

// Nitrification says what bacteria use up while they turn ammonia into nitrate, in
// moles for each mole of nitrogen (0-10).
type Nitrification struct {
	Bicarbonate float64
	Oxygen      float64
}

// CompleteNitrification is the bare reaction NH₄⁺ + 2 O₂ → NO₃⁻ + 2 H⁺ + H₂O
// (stoichiometry): 7.15 g CaCO₃ and 4.57 g O₂ for each g N, the upper bound.
func CompleteNitrification() Nitrification {
	return Nitrification{Bicarbonate: 2, Oxygen: 2}
}

// NitrificationWithGrowth allows for the nitrogen that grows into the bacteria:
// 7.04 g CaCO₃ and 4.18 g O₂ for each g N.
//
// Source: Ebeling, Timmons & Bisogni 2006 (Aquaculture 257:346-358; coefficients
// from memory).
func NitrificationWithGrowth() Nitrification {
	return Nitrification{Bicarbonate: 1.97, Oxygen: 1.83}
}

// The oxygen of the two steps, ammonia to nitrite and nitrite to nitrate, in g O₂
// for each g N: Gujer & Jenkins 1974, as cited in a wastewater text.
const (
	oxygenToNitrite = 3.22
	oxygenToNitrate = 1.11
)

// The largest mass of nitrogen, in g, that the relations accept.
const maxNitrogen = 1e6

// OxygenUsed is the oxygen used, in g O₂, for nitrogen in g N. It rises in
// proportion to the nitrogen.
func (n Nitrification) OxygenUsed(nitrogen float64) (float64, error) {
	return perNitrogen(nitrogen, n.Oxygen, molarOxygen)
}

// AlkalinityUsed is the alkalinity used up, in g CaCO₃, for nitrogen in g N. It
// rises in proportion to the nitrogen.
func (n Nitrification) AlkalinityUsed(nitrogen float64) (float64, error) {
	return perNitrogen(nitrogen, n.Bicarbonate, molarCalciumCarbonate/2)
}

// perNitrogen converts g N to the g of a partner used at the given moles per mole.
func perNitrogen(nitrogen, moles, molar float64) (float64, error) {
	err := firstError(
		within(Nitrogen, nitrogen, 0, maxNitrogen),
		within(Moles, moles, 0, 10),
	)
	if err != nil {
		return 0, err
	}
	return nitrogen / molarNitrogen * moles * molar, nil
}

// NitrificationOxygen is the oxygen a filter uses, in g O₂, for nitrogen in g N with
// the spread of the published values: [NitrificationWithGrowth], Gujer & Jenkins
// 1974, and [CompleteNitrification].
func NitrificationOxygen(nitrogen float64) (Estimate, error) {
	if err := within(Nitrogen, nitrogen, 0, maxNitrogen); err != nil {
		return Estimate{}, err
	}
	perGram := Estimate{
		Low:     NitrificationWithGrowth().Oxygen * molarOxygen / molarNitrogen,
		Typical: oxygenToNitrite + oxygenToNitrate,
		High:    CompleteNitrification().Oxygen * molarOxygen / molarNitrogen,
	}
	return perGram.Scale(nitrogen), nil
}

// HardnessDegrees converts alkalinity in mg/L CaCO₃ (0-1e5) to German degrees (°dH,
// the degree in which carbonate hardness is sold): 17.848 mg/L for each degree.
//
// Source: definition of the degree (10 mg CaO/L) with IUPAC molar masses.
func HardnessDegrees(calciumCarbonate float64) (float64, error) {
	if err := within(Alkalinity, calciumCarbonate, 0, 1e5); err != nil {
		return 0, err
	}
	return calciumCarbonate * molarCalciumOxide / (10 * molarCalciumCarbonate), nil
}
