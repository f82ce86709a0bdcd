package tanks

import (
	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/species"
	"commensal/internal/store"
)

func tankWire(k store.Tank) (gen.Tank, error) {
	out := gen.Tank{Id: k.ID.String(), Label: k.Label, ExternalRef: k.ExternalRef, CreatedAt: k.CreatedAt.UTC(), UpdatedAt: k.UpdatedAt.UTC()}
	wishes, err := wishesOf(&k)
	if err != nil {
		return out, err
	}
	out.Wishes = wishes
	return out, wire.DecodeStored(k.Description, &out.Tank)
}

// wishesOf is what the keeper of a stored tank would take; nil for anything.
func wishesOf(k *store.Tank) (w *gen.Wishes, err error) {
	if k.Wishes == nil {
		return nil, nil
	}
	w = &gen.Wishes{}
	return w, wire.DecodeStored(k.Wishes, w)
}

// tankWrite is a stored tank as it would be written.
func tankWrite(k store.Tank) (gen.TankWrite, error) {
	out := gen.TankWrite{Label: k.Label, ExternalRef: k.ExternalRef}
	wishes, err := wishesOf(&k)
	if err != nil {
		return out, err
	}
	out.Wishes = wishes
	return out, wire.DecodeStored(k.Description, &out.Tank)
}

func residentWire(r store.Resident) (gen.Resident, error) {
	out := gen.Resident{Id: r.ID.String(), StatedAt: r.StatedAt.UTC(), CreatedAt: r.CreatedAt.UTC(), UpdatedAt: r.UpdatedAt.UTC()}
	return out, wire.DecodeStored(r.Line, &out.Line)
}

func readingWire(r store.Reading) gen.Reading {
	return gen.Reading{Id: r.ID.String(), TakenAt: r.TakenAt.UTC(), TemperatureC: r.Values[species.Temperature], Ph: r.Values[species.PH],
		GhDh: r.Values[species.Hardness], SalinityPpt: r.Values[species.Salinity]}
}
