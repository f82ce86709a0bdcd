package species_test

import (
	"slices"
	"testing"

	"commensal/internal/species"
)

func marked() *species.Species {
	s := &species.Species{}
	s.Traits[species.Length] = species.Value{Band: species.Band{Low: 4, Typical: 4.5, High: 5}, Basis: species.Memory}
	s.Water[species.PH] = species.WaterRange{Tolerated: species.Range{Low: 5.5, High: 8}, Preferred: species.Range{Low: 6, High: 7.5}, Basis: species.Memory}
	s.Checked = []species.Mark{
		{Source: "a", Field: "length", Value: "4 4.5 5"}, {Source: "b", Field: "length", Value: "4 4.5 5"},
		{Source: "a", Field: "water ph", Value: "5.5 6 7.5 8"}, {Source: "a", Field: "lifespan", Value: "1 2 3"},
	}
	return s
}

func TestMarksHoldForTheirValueAlone(t *testing.T) {
	s := marked()
	if got := s.AgreesWith("length"); !slices.Equal(got, []string{"a", "b"}) {
		t.Errorf("length agrees with %v", got)
	}
	if got := s.AgreesWith("water ph"); !slices.Equal(got, []string{"a"}) {
		t.Errorf("pH agrees with %v", got)
	}
	if got := s.AgreesWith("lifespan"); got != nil {
		t.Errorf("an absent value agrees with %v", got)
	}
	s.Traits[species.Length].High = 5.5
	if got := s.AgreesWith("length"); got != nil || s.Cites("b") || !s.Cites("a") {
		t.Errorf("after the change length agrees with %v", got)
	}
}

func TestParseMark(t *testing.T) {
	for _, m := range marked().Checked {
		if got, ok := species.ParseMark(m.String()); !ok || got != m {
			t.Errorf("%q reads as %+v, %t", m, got, ok)
		}
	}
	for _, text := range []string{"", "a", "a length", "a length x", "a  length 1", "a length 1.0", "a length NaN", "a length +Inf", "a length -1",
		"a weight 1", "a water 1", "a water mud 1", "ä length 1", "a length 1 2 "} {
		if m, ok := species.ParseMark(text); ok {
			t.Errorf("%q reads as %+v", text, m)
		}
	}
}
