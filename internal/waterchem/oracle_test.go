package waterchem

import "math"

// Second opinions on oxygen saturation, kept out of the product: they exist to be
// compared with the Benson & Krause form that it uses.

// garciaGordonFit is one of the two fits of Garcia & Gordon 1992 (Limnol. Oceanogr.
// 37:1307-1312, with the erratum of 1993), both to the data of Benson & Krause.
type garciaGordonFit struct {
	a [6]float64
	b [4]float64
	c float64
}

var (
	garciaGordonPerKg = garciaGordonFit{ // µmol/kg
		a: [6]float64{5.80871, 3.20291, 4.17887, 5.10006, -9.86643e-2, 3.80369},
		b: [4]float64{-7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3},
		c: -2.75915e-7,
	}
	garciaGordonPerL = garciaGordonFit{ // mL/L
		a: [6]float64{2.00907, 3.22014, 4.05010, 4.94457, -2.56847e-1, 3.88767},
		b: [4]float64{-6.24523e-3, -7.37614e-3, -1.03410e-2, -8.17083e-3},
		c: -4.88682e-7,
	}
)

func (g garciaGordonFit) at(celsius, salinity float64) float64 {
	x := math.Log((298.15 - celsius) / (273.15 + celsius))
	sum := g.c * salinity * salinity
	power := 1.0
	for i, a := range g.a {
		sum += a * power
		if i < len(g.b) {
			sum += salinity * g.b[i] * power
		}
		power *= x
	}
	return math.Exp(sum)
}

// mgPerML is the mass of 1 mL of oxygen at 0 °C and one atmosphere, as a real gas
// (for Garcia & Gordon) and as an ideal one (for Weiss).
const (
	mgPerMLReal  = 1.42905
	mgPerMLIdeal = molarOxygen / 22.41397
)

// weiss is the saturation in mg/L by Weiss 1970 (Deep-Sea Res. 17:721-735).
func weiss(celsius, salinity float64) float64 {
	h := (celsius + 273.15) / 100
	ln := -173.4292 + 249.6339/h + 143.3483*math.Log(h) - 21.8492*h +
		salinity*(-0.033096+0.014259*h-0.0017000*h*h)
	return mgPerMLIdeal * math.Exp(ln)
}

// greenCarrittFactor is the pressure factor of Benson & Krause 1984 with the vapour
// pressure of Green & Carritt 1967 (J. Mar. Res. 25:140-147; equation as Benson &
// Krause cite it) instead of that of APHA Standard Methods. P is in atm.
func greenCarrittFactor(celsius, p float64) float64 {
	t := celsius + 273.15
	hot := 373.16 / t
	vapour := math.Exp(18.1973*(1-hot) + 3.1813e-7*(1-math.Exp(26.1205*(1-1/hot))) -
		0.018726*(1-math.Exp(8.03945*(1-hot))) + 5.02802*math.Log(hot))
	theta := 0.000975 - 1.426e-5*celsius + 6.436e-8*celsius*celsius
	return p * (1 - vapour/p) * (1 - theta*p) / (1 - vapour) / (1 - theta)
}
