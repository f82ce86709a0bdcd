package waterchem

import (
	"errors"
	"math"
)

// BodyForm names the outline of a fish, with the words of the catalogue.
type BodyForm string

// The body forms of fish, each with a published prior. AnyForm is the pooled prior of all of them,
// for a fish whose form is not known: its spread is nearly twice as wide.
const (
	AnyForm   BodyForm = ""
	EelLike   BodyForm = "eel_like"
	Elongated BodyForm = "elongated"
	Fusiform  BodyForm = "fusiform"
	ShortDeep BodyForm = "short_deep"
)

// ErrUnknownForm says that a body form is none of those with a prior.
var ErrUnknownForm = errors.New("unknown body form")

// FormPrior is what a body form says about the length-weight relation W = a·L^b (g,
// cm total length) of a species: log₁₀ a and b are normally distributed with these
// means and standard deviations.
type FormPrior struct {
	MeanLogA, SDLogA float64
	MeanB, SDB       float64
}

// Source of the five priors: Froese, Thorson & Reyes 2014 (J. Appl. Ichthyol.
// 30:78-85), as coded in the authors' script; 5150 studies.
var (
	priorAnyForm   = FormPrior{-2.00, 0.313, 3.04, 0.119}
	priorEelLike   = FormPrior{-2.99, 0.175, 3.06, 0.0896}
	priorElongated = FormPrior{-2.41, 0.171, 3.12, 0.09}
	priorFusiform  = FormPrior{-1.95, 0.173, 3.04, 0.0857}
	priorShortDeep = FormPrior{-1.70, 0.175, 3.01, 0.0905}
)

// Prior is the prior of the body form, published for fish and our own for
// invertebrates; ok is false for an unknown form.
func (f BodyForm) Prior() (p FormPrior, ok bool) {
	switch f {
	case AnyForm:
		return priorAnyForm, true
	case EelLike:
		return priorEelLike, true
	case Elongated:
		return priorElongated, true
	case Fusiform:
		return priorFusiform, true
	case ShortDeep:
		return priorShortDeep, true
	}
	p, ok = invertebratePrior[f]
	return p, ok
}

// z95 spans the central 95 % of a normal distribution.
const z95 = 1.96

// A is the coefficient a (g, cm) with its 95 % interval; typical is the geometric
// mean.
func (p FormPrior) A() Estimate {
	return logNormal(p.MeanLogA, p.SDLogA)
}

// Mean is the length-weight relation at the means of the prior.
func (p FormPrior) Mean() LengthWeight {
	return LengthWeight{A: math.Pow(10, p.MeanLogA), B: p.MeanB}
}

// weight is the 95 % interval of W at a length in cm. The errors of log a and b are
// taken as independent. Within the studies of one species they offset each other,
// so the interval is, if anything, too wide.
func (p FormPrior) weight(length float64) Estimate {
	logL := math.Log10(length)
	return logNormal(p.MeanLogA+p.MeanB*logL, math.Hypot(p.SDLogA, p.SDB*logL))
}

// logNormal is the median and 95 % interval of 10^x, x normal.
func logNormal(mean, sd float64) Estimate {
	return Estimate{
		math.Pow(10, mean-z95*sd), math.Pow(10, mean), math.Pow(10, mean+z95*sd),
	}
}

// WeightFromForm is the weight in g of an animal of a total length of 0.1-1000 cm, known
// only by its body form: the median and the 95 % interval of a species of that
// form, a factor of 2.2 to 2.5 either way up to 10 cm, 3 at 1 m, and 4 to 6 for
// [AnyForm]. It rises with length. An unknown form gives [ErrUnknownForm].
//
// Source: Froese, Thorson & Reyes 2014, see [FormPrior].
func WeightFromForm(form BodyForm, length float64) (Estimate, error) {
	p, ok := form.Prior()
	if !ok {
		return Estimate{}, ErrUnknownForm
	}
	if err := within(Length, length, minLength, maxLength); err != nil {
		return Estimate{}, err
	}
	return p.weight(length), nil
}
