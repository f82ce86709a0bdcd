package lookups

import (
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/units"
)

// conditionsWire states what a pairing was judged under.
func conditionsWire(p *conflict.Pairing, key *PairingRequest) gen.Conditions {
	c := &p.Conditions
	out := gen.Conditions{
		ReferenceTank: c.ReferenceTank, LengthCm: c.LengthCM, WidthCm: c.WidthCM, HeightCm: wire.Decimals(c.HeightCM, 1),
		VolumeL: wire.Decimals(c.VolumeL(), 1), Cover: c.Cover, ReferenceCover: c.ReferenceCover,
		Age: gen.Adult, Water: gen.ConditionsWaterBestCommon,
		First: givenWire(key.Fish[0]), Second: givenWire(key.Fish[1]),
	}
	if key.Fish[0].LengthCM > 0 || key.Fish[1].LengthCM > 0 {
		out.Age = gen.GivenLength
	}
	out.Water, out.Readings = readingsWire(&c.Reading)
	out.Summary = conditionsSentence(&out, p, key)
	return out
}

// givenWire repeats what was told of the fish, or is nil.
func givenWire(f conflict.Individual) *gen.GivenFish {
	if f == (conflict.Individual{}) {
		return nil
	}
	out := &gen.GivenFish{}
	if f.Count > 0 {
		out.Count = &f.Count
	}
	if f.Sex != species.Unsexed {
		sex := gen.Sex(f.Sex.String())
		out.Sex = &sex
	}
	if f.LengthCM > 0 {
		out.LengthCm = &f.LengthCM
	}
	return out
}

// readingsWire says what water a pairing was judged in, and repeats what was measured of it.
func readingsWire(readings *[species.NumParameters]conflict.Reading) (gen.ConditionsWater, *gen.Readings) {
	known := 0
	for p := range readings {
		if readings[p].Known {
			known++
		}
	}
	if known == 0 {
		return gen.ConditionsWaterBestCommon, nil
	}
	out := &gen.Readings{}
	slots := [species.NumParameters]**float64{&out.TemperatureC, &out.Ph, &out.GhDh, &out.SalinityPpt}
	for p := range readings {
		if readings[p].Known {
			*slots[p] = new(readings[p].Value)
		}
	}
	if known == len(readings) {
		return gen.ConditionsWaterReadings, out
	}
	return gen.ConditionsWaterMixed, out
}

// conditionsSentence says the conditions in one sentence.
func conditionsSentence(c *gen.Conditions, p *conflict.Pairing, key *PairingRequest) string {
	size := units.TankSize{Length: c.LengthCm, Width: c.WidthCm, Height: c.HeightCm}
	tank := units.FormatTank(size)
	if key.US {
		tank += " (" + units.FormatTankUS(size) + ")"
	}
	where := "in your tank of " + tank
	if c.ReferenceTank {
		where = "in the smallest tank customary for both, " + tank
	}
	cover := "cover " + strconv.Itoa(int(c.Cover*100+0.5)) + "%"
	if c.ReferenceCover {
		cover = "normal cover"
	}
	water := "the best common water"
	switch c.Water {
	case gen.ConditionsWaterReadings:
		water = "your water readings"
	case gen.ConditionsWaterMixed:
		water = "your water readings, where given, and otherwise the best common water"
	}
	return "Judged for " + fishSentence(p, key) + ", " + where + ", with " + cover + " and " + water + "."
}

// fishSentence says which fish: adults in their customary groups unless told.
func fishSentence(p *conflict.Pairing, key *PairingRequest) string {
	if key.Fish == ([2]conflict.Individual{}) {
		return "adults in their customary groups"
	}
	sides := []string{fishWords(p.First, key.US), fishWords(p.Second, key.US)}
	if sides[0] == sides[1] {
		return sides[0]
	}
	return strings.Join(sides, " with ")
}

func fishWords(p *conflict.Profile, us bool) string {
	f, words := p.Individual, "a customary group of "
	if f.Count > 0 {
		words = strconv.Itoa(f.Count) + " "
	}
	if f.Sex != species.Unsexed {
		words += f.Sex.String() + " "
	}
	words += p.Species.VernacularName("en")
	if f.LengthCM == 0 {
		return words + " (adult)"
	}
	length := units.FormatLength(f.LengthCM)
	if us {
		length += ", " + units.FormatLengthUS(f.LengthCM)
	}
	return words + " (" + length + ")"
}
