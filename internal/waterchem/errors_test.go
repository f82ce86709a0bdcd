package waterchem

import (
	"errors"
	"math"
	"testing"
)

func TestDomainErrorsNameTheQuantityAndTheRange(t *testing.T) {
	cases := []struct {
		name string
		run  func() (float64, error)
		want DomainError
	}{
		{"water hotter than the oxygen table is refused",
			func() (float64, error) { return OxygenSaturation(41, 0) },
			DomainError{Temperature, 41, 0, 40}},
		{"brine is refused by the oxygen relation",
			func() (float64, error) { return OxygenSaturation(20, 50) },
			DomainError{Salinity, 50, 0, 40}},
		{"pressure in hPa is not mistaken for kPa",
			func() (float64, error) { return OxygenSaturationAt(20, 0, 1013.25) },
			DomainError{AirPressure, 1013.25, 50, 111.5}},
		{"protein in percent is not mistaken for a share",
			func() (float64, error) { return TANFromFeed(1, 45) },
			DomainError{Protein, 45, 0, 1}},
		{"a water change of nothing has no steady state",
			func() (float64, error) { return WaterChanges{10, 0, 5}.Peak() },
			DomainError{Share, 0, 1e-6, 1}},
		{"a peak below source and rise names the least peak that can be held",
			func() (float64, error) { return ShareForPeak(30, 10, 35) },
			DomainError{Nitrate, 35, 40, 1e5}},
		{"an age before the curve starts is refused",
			func() (float64, error) { return Growth{80, 0.6, -0.1}.LengthAt(-1) },
			DomainError{Age, -1, -0.1, 500}},
		{"fish do not shrink from one length to another",
			func() (float64, error) { return Growth{80, 0.6, -0.1}.TimeBetween(50, 40) },
			DomainError{FishLength, 50, 0, 40}},
		{"a fish without mass does not breathe",
			func() (float64, error) { return RestingRate(0, 20) },
			DomainError{BodyMass, 0, 1e-3, 1e6}},
		{"an infinite tank has no volume",
			func() (float64, error) { return Box{math.Inf(1), 30, 30}.Litres() },
			DomainError{Edge, math.Inf(1), 0.1, 1e4}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.run()
			var got *DomainError
			if !errors.As(err, &got) || *got != c.want {
				t.Errorf("got %v, want %v", err, &c.want)
			}
		})
	}
}

func TestStockErrors(t *testing.T) {
	cases := []struct {
		name  string
		stock Stock
		want  Quantity
	}{
		{"a negative count is refused", Stock{Count: -1, Mass: Exact(1)}, Count},
		{"a low end of zero is refused", Stock{Count: 1, Mass: Estimate{0, 1, 2}}, BodyMass},
		{"a typical mass above the high end is refused", Stock{Count: 1, Mass: Estimate{1, 3, 2}}, TypicalValue},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := OxygenDemand(25, []Stock{{Count: 1, Mass: Exact(1)}, c.stock})
			var got *DomainError
			if !errors.As(err, &got) || got.Quantity != c.want {
				t.Errorf("got %v, want one about %s", err, c.want)
			}
		})
	}
}

func TestLengthsAtOrBeyondTheAsymptoteAreNeverReached(t *testing.T) {
	g := Growth{LInf: 80, K: 0.6, T0: -0.1}
	for _, length := range []float64{80, 80.001, 500} {
		_, ageErr := g.AgeAt(length)
		_, timeErr := g.TimeBetween(10, length)
		for _, err := range []error{ageErr, timeErr} {
			var never *NotReachedError
			if !errors.As(err, &never) || *never != (NotReachedError{length, 80}) {
				t.Errorf("%g cm: got %v, want a *NotReachedError", length, err)
			}
		}
	}
	if _, err := g.AgeAt(math.Nextafter(80, 0)); err != nil {
		t.Errorf("just below the asymptote: %v", err)
	}
}

func TestErrorTextsSayValueRangeAndUnit(t *testing.T) {
	cases := []struct {
		err  error
		want string
	}{
		{&DomainError{Temperature, 55, 0, 40}, "temperature 55 is outside 0 to 40 °C"},
		{&DomainError{Share, 3, 0, 1}, "share 3 is outside 0 to 1"},
		{&NotReachedError{30, 25}, "length 30 is never reached: the growth curve approaches 25"},
	}
	for _, c := range cases {
		if c.err.Error() != c.want {
			t.Errorf("got %q, want %q", c.err, c.want)
		}
	}
}

func TestAnUnknownBodyFormIsAnErrorNotAGuess(t *testing.T) {
	if _, err := WeightFromForm("cube", 10); !errors.Is(err, ErrUnknownForm) {
		t.Errorf("got %v, want ErrUnknownForm", err)
	}
}
