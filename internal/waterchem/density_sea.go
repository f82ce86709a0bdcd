package waterchem

import "math"

// eos80Fresh is the density of pure water in EOS-80, kg/m³.
func eos80Fresh(t float64) float64 {
	return 999.842594 + t*(6.793952e-2+t*(-9.095290e-3+
		t*(1.001685e-4+t*(-1.120083e-6+t*6.536332e-9))))
}

// saltDensity is what salt adds to the density in EOS-80, kg/m³.
func saltDensity(t, s float64) float64 {
	linear := 8.24493e-1 + t*(-4.0899e-3+t*(7.6438e-5+t*(-8.2467e-7+t*5.3875e-9)))
	threeHalves := -5.72466e-3 + t*(1.0227e-4-t*1.6546e-6)
	return s * (linear + math.Sqrt(s)*threeHalves + s*4.8314e-4)
}
