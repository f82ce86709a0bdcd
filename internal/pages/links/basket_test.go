package links

import (
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

func TestBasketsAsPeopleTypeThem(t *testing.T) {
	for text, want := range map[string]Line{
		"6 neon tetra":          {Count: 6, Name: "neon tetra"},
		"6x Neon Tetra":         {Count: 6, Name: "Neon Tetra"},
		"6 x neon tetra":        {Count: 6, Name: "neon tetra"},
		"neon tetra x6":         {Count: 6, Name: "neon tetra"},
		"neon tetra (6)":        {Count: 6, Name: "neon tetra"},
		"neon tetra, 6":         {Count: 6, Name: "neon tetra"},
		"neon tetra: 6":         {Count: 6, Name: "neon tetra"},
		"- neon tetra":          {Name: "neon tetra"},
		"a pair of rams":        {Count: 2, Name: "rams"},
		"two angelfish":         {Count: 2, Name: "angelfish"},
		"1 male betta":          {Count: 1, Name: "male betta", Sex: species.Male, Bare: "betta"},
		"betta (f)":             {Name: "betta (f)", Sex: species.Female, Bare: "betta"},
		"betta female":          {Name: "betta female", Sex: species.Female, Bare: "betta"},
		"1 oscar 12 cm":         {Count: 1, Name: "oscar", LengthCM: 12},
		"1 oscar, 4 in":         {Count: 1, Name: "oscar", LengthCM: 10.2},
		"2 oscar 6 months":      {Count: 2, Name: "oscar", AgeMonths: 6},
		"2 oscar 8 cm 6 months": {Count: 2, Name: "oscar", LengthCM: 8, AgeMonths: 6},
		"5 Amano shrimp":        {Count: 5, Name: "Amano shrimp"},
		"angelfish":             {Name: "angelfish"},
	} {
		lines, faults := ReadBasket(text)
		if len(faults) > 0 || len(lines) != 1 || lines[0] != want {
			t.Errorf("%q: %+v %v", text, lines, faults)
		}
	}
}

func TestAWordForNobodyIsAnEmptyList(t *testing.T) {
	for _, text := range []string{"none", " Nothing.", "no fish yet!", "EMPTY", "-", "n/a", ""} {
		if lines, faults := ReadBasket(text); len(lines)+len(faults) > 0 {
			t.Errorf("%q: %+v %v", text, lines, faults)
		}
	}
	if lines, _ := ReadBasket("none, 2 oscars"); len(lines) != 2 {
		t.Errorf("beside somebody: %+v", lines)
	}
}

func TestASizeNeedNotBeExact(t *testing.T) {
	for text, want := range map[string]float64{"about 54 L": 54, "~ 54": 54, "Approx. 54 litres": 54, "ca. 54l": 54, "54": 54} {
		if _, litres, fault := ReadTank(text); fault != nil || litres != want {
			t.Errorf("%q: %v L, %v", text, litres, fault)
		}
	}
	if size, _, fault := ReadTank("about 60x30x36cm"); fault != nil || size.Length != 60 {
		t.Errorf("%+v %v", size, fault)
	}
	for _, text := range []string{"about", "about about 54", "a bout 54"} {
		if _, _, fault := ReadTank(text); fault == nil {
			t.Errorf("%q is taken", text)
		}
	}
}

func TestSeveralKindsOnOneLine(t *testing.T) {
	lines, faults := ReadBasket("6 neon tetra, 1 betta, corydoras, 4")
	if len(faults) > 0 || len(lines) != 3 || lines[2] != (Line{Count: 4, Name: "corydoras"}) {
		t.Fatalf("%+v %v", lines, faults)
	}
}

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawLine(t)
		lines, faults := ReadBasket(in.Text())
		if len(faults) > 0 || len(lines) != 1 {
			t.Fatalf("%q: %v", in.Text(), faults)
		}
		out := lines[0]
		if out.Bare != "" {
			out.Name, out.Bare = out.Bare, ""
		}
		if out != in {
			t.Fatalf("%q: %+v became %+v", in.Text(), in, out)
		}
	})
}

func TestNothingTypedPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		lines, _ := ReadBasket(text)
		for i := range lines {
			if lines[i].Count < 0 || lines[i].Count > MaxCount || lines[i].Name == "" {
				t.Fatalf("%q gave %+v", text, lines[i])
			}
		}
	})
}
