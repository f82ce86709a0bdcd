package waterchem

import "math"

// The sizes the length-weight relations accept, in cm and g.
const (
	minLength = 0.1
	maxLength = 1000.0
	minWeight = 1e-9
	maxWeight = 1e9
)

// LengthWeight is the relation W = A·L^B, W in g and L in cm, with A in 1e-9 to 10
// and B in 1-5. Which length (total, fork, standard) is a matter of the study: a
// relation must be used with the length it was made for.
//
// Source: the customary allometric form, Froese 2006 (J. Appl. Ichthyol. 22:241-253).
type LengthWeight struct {
	A, B float64
}

// LengthWeightFromMillimetres converts a relation made for L in mm to one for L in
// cm: a(cm) = a(mm)·10^b.
//
// Source: unit conversion, FishBase manual, LENGTH-WEIGHT table.
func LengthWeightFromMillimetres(a, b float64) LengthWeight {
	return LengthWeight{A: a * math.Pow(10, b), B: b}
}

// Plausible reports whether B lies in 2.5-3.5, where it is expected; outside, the
// study's sample or units deserve a second look.
//
// Source: Froese 2006 (median 3.03, expected 2.5-3.5).
func (r LengthWeight) Plausible() bool { return r.B >= 2.5 && r.B <= 3.5 }

// Weight is the weight in g at a length of 0.1-1000 cm. It rises with length.
func (r LengthWeight) Weight(length float64) (float64, error) {
	if err := r.check(within(Length, length, minLength, maxLength)); err != nil {
		return 0, err
	}
	return r.A * math.Pow(length, r.B), nil
}

// Length is the length in cm at a weight of 1e-9 to 1e9 g, the inverse of
// [LengthWeight.Weight]. It rises with weight.
func (r LengthWeight) Length(weight float64) (float64, error) {
	if err := r.check(within(Weight, weight, minWeight, maxWeight)); err != nil {
		return 0, err
	}
	return math.Pow(weight/r.A, 1/r.B), nil
}

// Condition is Fulton's condition factor of a fish of a length of 0.1-1000 cm that
// weighs what the relation says: 100·A·L^(B−3).
func (r LengthWeight) Condition(length float64) (float64, error) {
	if err := r.check(within(Length, length, minLength, maxLength)); err != nil {
		return 0, err
	}
	return 100 * r.A * math.Pow(length, r.B-3), nil
}

func (r LengthWeight) check(argument error) error {
	return firstError(
		within(Coefficient, r.A, 1e-9, 10),
		within(Exponent, r.B, 1, 5),
		argument,
	)
}

// FultonCondition is Fulton's condition factor K = 100·W/L³ of a fish of weight
// 1e-9 to 1e9 g and length 0.1-1000 cm. It rises with weight and falls with length.
// It compares fish of one species, sex and length type; it is no measure of
// health across species, whose shapes differ.
//
// Source: Fulton's definition, in Froese 2006.
func FultonCondition(weight, length float64) (float64, error) {
	err := firstError(
		within(Weight, weight, minWeight, maxWeight),
		within(Length, length, minLength, maxLength),
	)
	if err != nil {
		return 0, err
	}
	return 100 * weight / (length * length * length), nil
}

// WeightFromCondition is the weight in g of a fish of Fulton condition 0.001-100 and
// length 0.1-1000 cm, the inverse of [FultonCondition].
func WeightFromCondition(condition, length float64) (float64, error) {
	err := firstError(
		within(Condition, condition, 1e-3, 100),
		within(Length, length, minLength, maxLength),
	)
	if err != nil {
		return 0, err
	}
	return condition * length * length * length / 100, nil
}
