package waterchem

// newtonsPerM2 is one pound-force per square foot in N/m², from the definitions of
// the pound, the foot and standard gravity.
const newtonsPerM2 = 0.45359237 * Gravity / (0.3048 * 0.3048)

// FloorLoad is the mean pressure in kN/m² under a footprint of length × width cm
// (0.1-1e4 each) that carries 0-1e8 kg. It rises with mass and falls with the
// footprint.
//
// It is a number, not a judgement. Building rules state loads spread over a whole
// floor; they say nothing about one spot, the direction of the joists, age, feet or
// edges. Whoever shows this number must add the caution to ask a structural
// engineer, and must never call it safe or unsafe.
//
// Source: mechanics, m·g/area with standard gravity.
func FloorLoad(kilograms, length, width float64) (float64, error) {
	err := firstError(
		within(Mass, kilograms, 0, 1e8),
		within(Edge, length, minEdge, maxEdge),
		within(Edge, width, minEdge, maxEdge),
	)
	if err != nil {
		return 0, err
	}
	return kilograms * Gravity / (length * width / 1e4) / 1000, nil
}

// PoundsPerSquareFoot converts a load of 0-1e9 kN/m² to lbf/ft²; the caution of
// [FloorLoad] applies. 1 lbf/ft² is 47.88 N/m² (definitions).
func PoundsPerSquareFoot(kilonewtonsPerM2 float64) (float64, error) {
	if err := within(Load, kilonewtonsPerM2, 0, 1e9); err != nil {
		return 0, err
	}
	return kilonewtonsPerM2 * 1000 / newtonsPerM2, nil
}

// KilonewtonsPerM2 converts a load of 0-1e9 lbf/ft² to kN/m², the inverse of
// [PoundsPerSquareFoot].
func KilonewtonsPerM2(poundsPerSquareFoot float64) (float64, error) {
	if err := within(Load, poundsPerSquareFoot, 0, 1e9); err != nil {
		return 0, err
	}
	return poundsPerSquareFoot * newtonsPerM2 / 1000, nil
}

// BottomPressure is the pressure in kPa of a water depth of 0-1e4 cm, above that of
// the air, at 0-40 °C and a salinity of 0-40 PSU. It rises with depth.
//
// Source: hydrostatics, ρ·g·h with [WaterDensity].
func BottomPressure(depth, celsius, salinity float64) (float64, error) {
	if err := within(Depth, depth, 0, maxEdge); err != nil {
		return 0, err
	}
	density, err := WaterDensity(celsius, salinity)
	return density * Gravity * depth / 1e5, err
}
