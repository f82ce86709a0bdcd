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
	key.Fish[0] = readFish("first_length_cm", p.FirstCount, p.FirstSex, p.FirstLengthCm, &found)
	key.Fish[1] = readFish("second_length_cm", p.SecondCount, p.SecondSex, p.SecondLengthCm, &found)
	key.oneGroup()
	return key, found.Err()
}

// readFish reads what is told of a fish; length is the name of the parameter of its length.
func readFish(lengthName string, count *int, sex *gen.Sex, length *string, found *respond.Faults) conflict.Individual {
	var f conflict.Individual
	if count != nil {
		f.Count = *count
	}
	if sex != nil {
		f.Sex = wire.Sex(*sex)
	}
	f.LengthCM, _ = wire.FishLength.Read(lengthName, length, found)
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
	return string(k.AppendAddress(make([]byte, 0, longAddress), snap))
}

// AppendAddress appends the address.
func (k *PairingRequest) AppendAddress(b []byte, snap *species.Snapshot) []byte {
	q := query(append(b, "/v1/pairings/"...))
	q = append(append(append(q, snap.At(k.Index[0]).ID...), '/'), snap.At(k.Index[1]).ID...)
	path := len(q)
	if t := &k.Tank; t.HasFootprint() {
		q.name("tank")
		q.number(t.LengthCM)
		q = append(q, 'x')
		q.number(t.WidthCM)
		q = append(q, 'x')
		q.number(t.HeightCM)
		q = append(q, "cm"...)
	}
	for w, r := range k.Tank.Reading {
		if r.Known {
			q.name(string(wire.WaterParameters[w].Name))
			q.number(r.Value)
		}
	}
	if k.Tank.CoverKnown {
		q.name("cover")
		q.number(k.Tank.Cover)
	}
	q.fish(&k.Fish)
	if k.US {
		q.name("units")
		q = append(q, "us"...)
	}
	if len(q) > path {
		q[path] = '?'
	}
	return q
}

// longAddress is about the length in bytes of an address with everything in it.
const longAddress = 224

// query is an address that is being written. Nothing in one needs escaping: ids,
// numbers and words.
type query []byte

// name begins a parameter, whose name may have several parts.
func (q *query) name(parts ...string) {
	*q = append(*q, '&')
	for _, part := range parts {
		*q = append(*q, part...)
	}
	*q = append(*q, '=')
}

// number is [wire.Plain].
func (q *query) number(x float64) { *q = strconv.AppendFloat(*q, x, 'f', -1, 64) }

// fish adds what is known of the two, one property after the other.
func (q *query) fish(fish *[2]conflict.Individual) {
	which := [...]string{"first", "second"}
	for i := range fish {
		if fish[i].Count > 0 {
			q.name(which[i], "_count")
			*q = strconv.AppendInt(*q, int64(fish[i].Count), 10)
		}
	}
	for i := range fish {
		if fish[i].Sex != species.Unsexed {
			q.name(which[i], "_sex")
			*q = append(*q, fish[i].Sex.String()...)
		}
	}
	for i := range fish {
		if fish[i].LengthCM > 0 {
			q.name(which[i], "_length_cm")
			q.number(fish[i].LengthCM)
		}
	}
}
