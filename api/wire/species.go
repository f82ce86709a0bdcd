package wire

import (
	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// SpeciesRef names a species.
func SpeciesRef(sp *species.Species) gen.SpeciesRef {
	return gen.SpeciesRef{Id: string(sp.ID), ScientificName: sp.ScientificName, VernacularName: sp.VernacularName("en")}
}

func Sex(s gen.Sex) species.Sex {
	switch s {
	case gen.Male:
		return species.Male
	case gen.Female:
		return species.Female
	}
	return species.Unsexed
}

func Band(s *conflict.Score) []float64 { return []float64{Tenths(s.Band[0]), TenthsUp(s.Band[1])} }

func Cautions(notes []conflict.CautionNote) []gen.Caution {
	out := make([]gen.Caution, len(notes))
	for i, n := range notes {
		out[i] = gen.Caution{Code: string(n.Code), Text: n.Text}
		if n.Species != nil {
			out[i].Species = Optional(string(n.Species.ID))
		}
	}
	return out
}

func MissingTraits(missing []conflict.MissingTrait) []gen.MissingTrait {
	out := make([]gen.MissingTrait, len(missing))
	for i, m := range missing {
		out[i] = gen.MissingTrait{Species: string(m.Species), Trait: m.Trait}
	}
	return out
}

func Evidence(list []conflict.Evidence) []gen.Evidence {
	out := make([]gen.Evidence, len(list))
	for i, e := range list {
		out[i] = gen.Evidence{Name: e.Name, Value: Decimals(e.Value, 3), Unit: e.Unit}
	}
	return out
}

// SizeText is a size as the API reads it.
func SizeText(s *conflict.TankSize) string {
	return Plain(s.LengthCM) + "x" + Plain(s.WidthCM) + "x" + Plain(s.HeightCM) + "cm"
}
