package lookups

import (
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
	"commensal/internal/species"
)

// PairingRequest is a pairing request with everything resolved: species by position,
// quantities in SI units. Equal requests have equal keys, however they were spelt.
type PairingRequest struct {
	Index [2]int
	Fish  [2]conflict.Individual
	Tank  conflict.Tank
	US    bool
	// reports is what keepers report of the two, which is no part of the address.
	reports evidence.Tally
}

// readPairing resolves the names and reads the query of a pairing.
func readPairing(snap *species.Snapshot, first, second string, p *gen.ExplainPairingParams) (PairingRequest, error) {
	matches, err := wire.ResolveAll(snap, wire.InPath("first", first), wire.InPath("second", second))
	if err != nil {
		return PairingRequest{}, err
	}
	found := respond.Faults{Malformed: respond.MalformedParameter}
	key := PairingRequest{Index: [2]int{matches[0].Index, matches[1].Index}, US: wire.InUS(p.Units)}
	if size, given := wire.ReadTank(p.Tank, &found); given {
		key.Tank.LengthCM, key.Tank.WidthCM, key.Tank.HeightCM = size.Length, size.Width, size.Height
	}
	if p.Cover != nil {
		key.Tank.Cover, key.Tank.CoverKnown = *p.Cover+0, true // +0 makes -0 plain
	}
	for w, text := range [...]*string{p.TemperatureC, p.Ph, p.GhDh, p.SalinityPpt} {
		x, given := wire.WaterParameters[w].Quantity.Read(string(wire.WaterParameters[w].Name), text, &found)
		key.Tank.Reading[w] = conflict.Reading{Value: x, Known: given}
	}
	key.Fish[0] = readFish("first", p.FirstCount, p.FirstSex, p.FirstLengthCm, &found)
	key.Fish[1] = readFish("second", p.SecondCount, p.SecondSex, p.SecondLengthCm, &found)
	key.oneGroup()
	return key, found.Err()
}

func readFish(which string, count *int, sex *gen.Sex, length *string, found *respond.Faults) conflict.Individual {
	var f conflict.Individual
	if count != nil {
		f.Count = *count
	}
	if sex != nil {
		f.Sex = wire.Sex(*sex)
	}
	f.LengthCM, _ = wire.FishLength.Read(which+"_length_cm", length, found)
	return f
}

// oneGroup lets one count stand for both where both are the same species: they are
// one group.
func (k *PairingRequest) oneGroup() {
	if k.Index[0] != k.Index[1] {
		return
	}
	if k.Fish[0].Count == 0 {
		k.Fish[0].Count = k.Fish[1].Count
	}
	if k.Fish[1].Count == 0 {
		k.Fish[1].Count = k.Fish[0].Count
	}
}

// explain asks the model.
func (k *PairingRequest) explain(book *conflict.Book) conflict.Pairing {
	tank := k.Tank
	return book.Model.Explain(book.For(k.Index[0], k.Fish[0]), book.For(k.Index[1], k.Fish[1]), &tank)
}

// Address is the canonical path and query of the request: ids, SI units, parameters
// in the order of the contract, and none that says the default.
func (k *PairingRequest) Address(snap *species.Snapshot) string {
	q := query(make([]byte, 0, longAddress))
	q = append(q, "/v1/pairings/"+snap.At(k.Index[0]).ID+"/"+snap.At(k.Index[1]).ID...)
	path := len(q)
	if t := &k.Tank; t.HasFootprint() {
		q.put("tank", wire.Plain(t.LengthCM), "x", wire.Plain(t.WidthCM), "x", wire.Plain(t.HeightCM), "cm")
	}
	for w, r := range k.Tank.Reading {
		if r.Known {
			q.put(string(wire.WaterParameters[w].Name), wire.Plain(r.Value))
		}
	}
	if k.Tank.CoverKnown {
		q.put("cover", wire.Plain(k.Tank.Cover))
	}
	q.fish(&k.Fish)
	if k.US {
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
			q.put(which[i]+"_length_cm", wire.Plain(fish[i].LengthCM))
		}
	}
}
