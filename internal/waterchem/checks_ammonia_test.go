package waterchem

import "testing"

var ammoniaChecks = []check{
	{"3.1", "Emerson, Russo, Lund & Thurston 1975", freshAmmonia},
	{"3.2", "Emerson, Russo, Lund & Thurston 1975", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, value[float64](t)(UnionizedAmmonia(
			r.num(t, "TAN_mg_L"), r.num(t, "pH"), r.num(t, "t_C"))))
	}},
	{"3.3", "Emerson, Russo, Lund & Thurston 1975", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(r.nums(t, "t_C"), func(c float64) float64 {
			return value[float64](t)(AmmoniumPKa(c))
		})...)
	}},
	{"3.4", "Emerson, Russo, Lund & Thurston 1975", freshAmmonia},
	{"3.5", "Emerson, Russo, Lund & Thurston 1975", func(t *testing.T, r row, _ map[string]row) {
		c := r.num(t, "t_C")
		pka := value[float64](t)(AmmoniumPKa(c))
		r.near(t, value[float64](t)(UnionizedFraction(pka, c)))
	}},
	{"3.6", "Trussell 1972", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(freshFractions(t, r), func(f float64) float64 { return 100 * f })...)
	}},
	{"3.7", "Clegg & Whitfield 1995", func(t *testing.T, r row, _ map[string]row) {
		var got []float64
		in := r.nums(t, "pH_t_S")
		for i := 0; i < len(in); i += 3 {
			got = append(got, value[float64](t)(UnionizedFractionSea(in[i], in[i+1], in[i+2])))
		}
		r.near(t, got...)
	}},
	{"3.8", "aqion.de", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, value[float64](t)(UnionizedFraction(r.num(t, "pH"), r.num(t, "t_C"))))
	}},
}

func freshAmmonia(t *testing.T, r row, _ map[string]row) { r.near(t, freshFractions(t, r)...) }

func freshFractions(t *testing.T, r row) (fractions []float64) {
	in := r.nums(t, "pH_t")
	for i := 0; i < len(in); i += 2 {
		fractions = append(fractions, value[float64](t)(UnionizedFraction(in[i], in[i+1])))
	}
	return fractions
}
