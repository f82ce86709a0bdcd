package api

import (
	"strconv"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
	"commensal/internal/species"
)

// pairingKey is a pairing request with everything resolved: species by position,
// quantities in SI units. Equal requests have equal keys, however they were spelt.
type pairingKey struct {
	index [2]int
	fish  [2]conflict.Individual
	tank  conflict.Tank
	us    bool
	// reports is what keepers report of the two, which is no part of the address.
	reports evidence.Tally
}

// waterParameter is a water parameter on the wire, in the order of the model.
type waterParameter struct {
	name     gen.WaterParameter
	quantity quantity
}

var waterParameters = [species.NumParameters]waterParameter{
	species.Temperature: {gen.TemperatureC, temperature},
	species.PH:          {gen.Ph, acidity},
	species.Hardness:    {gen.GhDh, hardness},
	species.Salinity:    {gen.SalinityPpt, salinity},
}

// readPairing resolves the names and reads the query of a pairing.
func readPairing(snap *species.Snapshot, r gen.GetPairingRequestObject) (pairingKey, error) {
	matches, err := resolveAll(snap, inPath("first", r.First), inPath("second", r.Second))
	if err != nil {
		return pairingKey{}, err
	}
	p := r.Params
	found := faults{malformed: malformedParameter}
	key := pairingKey{index: [2]int{matches[0].Index, matches[1].Index}, us: p.Units != nil && *p.Units == gen.GetPairingParamsUnitsUs}
	if size, given := readTank(p.Tank, &found); given {
		key.tank.LengthCM, key.tank.WidthCM, key.tank.HeightCM = size.Length, size.Width, size.Height
	}
	if p.Cover != nil {
		key.tank.Cover, key.tank.CoverKnown = *p.Cover+0, true // +0 makes -0 plain
	}
	for w, text := range [...]*string{p.TemperatureC, p.Ph, p.GhDh, p.SalinityPpt} {
		x, given := waterParameters[w].quantity.read(string(waterParameters[w].name), text, &found)
		key.tank.Reading[w] = conflict.Reading{Value: x, Known: given}
	}
	key.fish[0] = readFish("first", p.FirstCount, p.FirstSex, p.FirstLengthCm, &found)
	key.fish[1] = readFish("second", p.SecondCount, p.SecondSex, p.SecondLengthCm, &found)
	key.oneGroup()
	return key, found.err()
}

func readFish(which string, count *int, sex *gen.Sex, length *string, found *faults) conflict.Individual {
	var f conflict.Individual
	if count != nil {
		f.Count = *count
	}
	if sex != nil {
		f.Sex = sexOf(*sex)
	}
	f.LengthCM, _ = fishLength.read(which+"_length_cm", length, found)
	return f
}

// oneGroup lets one count stand for both where both are the same species: they are
// one group.
func (k *pairingKey) oneGroup() {
	if k.index[0] != k.index[1] {
		return
	}
	if k.fish[0].Count == 0 {
		k.fish[0].Count = k.fish[1].Count
	}
	if k.fish[1].Count == 0 {
		k.fish[1].Count = k.fish[0].Count
	}
}

// explain asks the model.
func (k *pairingKey) explain(book *conflict.Book) conflict.Pairing {
	tank := k.tank
	return book.Model.Explain(book.For(k.index[0], k.fish[0]), book.For(k.index[1], k.fish[1]), &tank)
}

// address is the canonical path and query of the request: ids, SI units, parameters
// in the order of the contract, and none that says the default.
func (k *pairingKey) address(snap *species.Snapshot) string {
	q := query(make([]byte, 0, longAddress))
	q = append(q, "/v1/pairings/"+snap.At(k.index[0]).ID+"/"+snap.At(k.index[1]).ID...)
	path := len(q)
	if t := &k.tank; t.HasFootprint() {
		q.put("tank", plain(t.LengthCM), "x", plain(t.WidthCM), "x", plain(t.HeightCM), "cm")
	}
	for w, r := range k.tank.Reading {
		if r.Known {
			q.put(string(waterParameters[w].name), plain(r.Value))
		}
	}
	if k.tank.CoverKnown {
		q.put("cover", plain(k.tank.Cover))
	}
	q.fish(&k.fish)
	if k.us {
		q.put("units", "us")
	}
	if len(q) > path {
		q[path] = '?'
	}
	return string(q)
}

// longAddress is about the length in bytes of an address with everything in it.
const longAddress = 224

// query is an address that is being written. Nothing in one needs escaping: ids,
// numbers and words.
type query []byte

func (q *query) put(name string, value ...string) {
	*q = append(append(append(*q, '&'), name...), '=')
	for _, part := range value {
		*q = append(*q, part...)
	}
}

// fish adds what is known of the two, one property after the other.
func (q *query) fish(fish *[2]conflict.Individual) {
	which := [...]string{"first", "second"}
	for i := range fish {
		if fish[i].Count > 0 {
			q.put(which[i]+"_count", strconv.Itoa(fish[i].Count))
		}
	}
	for i := range fish {
		if fish[i].Sex != species.Unsexed {
			q.put(which[i]+"_sex", fish[i].Sex.String())
		}
	}
	for i := range fish {
		if fish[i].LengthCM > 0 {
			q.put(which[i]+"_length_cm", plain(fish[i].LengthCM))
		}
	}
}

func sexOf(s gen.Sex) species.Sex {
	switch s {
	case gen.Male:
		return species.Male
	case gen.Female:
		return species.Female
	}
	return species.Unsexed
}
