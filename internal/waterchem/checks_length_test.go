package waterchem

import (
	"fmt"
	"testing"
)

const froese2014 = "Froese, Thorson & Reyes 2014"

var formOfShape = map[string]BodyForm{
	"eel-like": EelLike, "elongated": Elongated, "fusiform": Fusiform,
	"short/deep": ShortDeep, "all": AnyForm,
}

var lengthWeightChecks = []check{
	{"5.1", froese2014, func(t *testing.T, r row, _ map[string]row) {
		r.near(t, ofPriors(t, r, func(p FormPrior) float64 { return p.MeanLogA },
			func(p FormPrior) float64 { return p.SDLogA })...)
	}},
	{"5.2", froese2014, func(t *testing.T, r row, _ map[string]row) {
		r.near(t, ofPriors(t, r, func(p FormPrior) float64 { return p.MeanB },
			func(p FormPrior) float64 { return p.SDB })...)
	}},
	{"5.3", froese2014, func(t *testing.T, r row, _ map[string]row) {
		r.near(t, ofPriors(t, r, func(p FormPrior) float64 { return p.A().Typical })...)
	}},
	{"5.4", froese2014, priorWeights},
	{"5.5", froese2014, func(t *testing.T, r row, _ map[string]row) {
		p := FormPrior{MeanLogA: r.num(t, "m"), SDLogA: r.num(t, "s")}
		fusiform, _ := Fusiform.Prior()
		if z95 != r.num(t, "z") || p.A() != fusiform.A() {
			t.Error("the row is not the fusiform prior at our z")
		}
		r.near(t, p.A().Low, p.A().High)
	}},
	{"5.6", "FishBase manual", func(t *testing.T, r row, _ map[string]row) {
		e := value[Estimate](t)(WeightFromForm(Fusiform, r.num(t, "L_cm")))
		r.near(t, e.Typical)
		if !e.Contains(r.expected(t)[0]) {
			t.Errorf("%v does not contain the rule of thumb", e)
		}
	}},
	{"5.7", "goldfish", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, namedWeight(t, r, "C_auratus"), namedWeight(t, r, "C_gibelio"))
	}},
	{"5.8", "Atherinella brasiliensis", func(t *testing.T, r row, _ map[string]row) {
		w := LengthWeight{r.num(t, "a"), r.num(t, "b")}
		r.near(t, value[float64](t)(w.Weight(r.num(t, "L_cm"))))
	}},
	{"5.9", "Mahapatra et al. 2014", loggedRelation},
	{"5.10", "Bagley, Breitman & Johnson 2022", func(t *testing.T, r row, _ map[string]row) {
		w := LengthWeightFromMillimetres(r.num(t, "a_mm_g"), r.num(t, "b"))
		r.near(t, w.A, value[float64](t)(w.Weight(r.num(t, "L_mm")/10)))
		if w.Plausible() {
			t.Error("an exponent of 3.696 is to be flagged")
		}
	}},
	{"5.11", "Lente et al.", weightsFromCondition},
	{"5.12", "Astronotus ocellatus", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, value[float64](t)(FultonCondition(r.num(t, "W_g"), r.num(t, "L_cm_TL"))))
	}},
	{"5.13", "Astronotus ocellatus", func(t *testing.T, r row, _ map[string]row) {
		length, observed := r.num(t, "L_cm_TL"), r.num(t, "observed_g")
		slim := value[Estimate](t)(WeightFromForm(Fusiform, length)).Typical
		deep := value[Estimate](t)(WeightFromForm(ShortDeep, length)).Typical
		r.near(t, slim, deep)
		if observed < slim || observed > deep {
			t.Errorf("the record of %g g is not between %g and %g", observed, slim, deep)
		}
	}},
}

// ofPriors lists each property for the priors of all the row's shapes in turn.
func ofPriors(t *testing.T, r row, properties ...func(FormPrior) float64) (got []float64) {
	t.Helper()
	var shapes []string
	r.decode(t, "shape", &shapes)
	for _, property := range properties {
		for _, shape := range shapes {
			form, known := formOfShape[shape]
			p, ok := form.Prior()
			if !known || !ok {
				t.Fatalf("no prior for shape %q", shape)
			}
			got = append(got, property(p))
		}
	}
	return got
}

func priorWeights(t *testing.T, r row, _ map[string]row) {
	var got []float64
	for _, length := range r.nums(t, "L_cm") {
		got = append(got, ofPriors(t, r, func(p FormPrior) float64 {
			near(t, value[float64](t)(p.Mean().Weight(length)), p.weight(length).Typical, 1e-9)
			return p.weight(length).Typical
		})...)
	}
	r.near(t, got...)
}

func namedWeight(t *testing.T, r row, name string) float64 {
	t.Helper()
	var in struct {
		A, B float64
		LCm  float64 `json:"L_cm"`
	}
	r.decode(t, name, &in)
	return value[float64](t)(LengthWeight{in.A, in.B}.Weight(in.LCm))
}

func loggedRelation(t *testing.T, r row, _ map[string]row) {
	var text string
	r.decode(t, "log10W", &text)
	var logA, b float64
	if _, err := fmt.Sscanf(text, "%f+%f*log10(L_mm)", &logA, &b); err != nil {
		t.Fatal(err)
	}
	w := LengthWeightFromMillimetres(FormPrior{MeanLogA: logA}.A().Typical, b)
	r.near(t, value[float64](t)(w.Weight(r.num(t, "L_mm")/10)), w.A)
}

func weightsFromCondition(t *testing.T, r row, _ map[string]row) {
	var got []float64
	for _, name := range []string{"Parachromis_managuensis", "Vieja_melanurus"} {
		var in struct {
			K    float64
			SLCm float64 `json:"SL_cm"`
		}
		r.decode(t, name, &in)
		got = append(got, value[float64](t)(WeightFromCondition(in.K, in.SLCm)))
	}
	var in struct {
		A    float64 `json:"form_factor_a3.0"`
		TLCm float64 `json:"TL_cm"`
	}
	r.decode(t, "Trichogaster_lalius", &in)
	got = append(got, value[float64](t)(LengthWeight{in.A, 3}.Weight(in.TLCm)))
	r.near(t, got...)
}
