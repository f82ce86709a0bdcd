package api

import (
	"encoding/json"
	"fmt"

	"commensal/api/gen"
	"commensal/internal/species"
	"commensal/internal/store"
)

func tankWire(k store.Tank) (gen.Tank, error) {
	out := gen.Tank{Id: k.ID.String(), Label: k.Label, ExternalRef: k.ExternalRef, CreatedAt: k.CreatedAt.UTC(), UpdatedAt: k.UpdatedAt.UTC()}
	return out, decodeStored(k.Description, &out.Tank)
}

// tankWrite is a stored tank as it would be written.
func tankWrite(k store.Tank) (gen.TankWrite, error) {
	out := gen.TankWrite{Label: k.Label, ExternalRef: k.ExternalRef}
	return out, decodeStored(k.Description, &out.Tank)
}

func residentWire(r store.Resident) (gen.Resident, error) {
	out := gen.Resident{Id: r.ID.String(), StatedAt: r.StatedAt.UTC(), CreatedAt: r.CreatedAt.UTC(), UpdatedAt: r.UpdatedAt.UTC()}
	return out, decodeStored(r.Line, &out.Line)
}

func readingWire(r store.Reading) gen.Reading {
	return gen.Reading{Id: r.ID.String(), TakenAt: r.TakenAt.UTC(), TemperatureC: r.Values[species.Temperature], Ph: r.Values[species.PH],
		GhDh: r.Values[species.Hardness], SalinityPpt: r.Values[species.Salinity]}
}

// decodeStored reads a document that was checked against the contract when it was stored.
func decodeStored(text json.RawMessage, into any) error {
	if err := json.Unmarshal(text, into); err != nil {
		return fmt.Errorf("api: a stored document is not as the contract has it: %w", err)
	}
	return nil
}

// mappedAll is mapped for a function that may fail.
func mappedAll[T, U any](list []T, f func(T) (U, error)) ([]U, error) {
	out := make([]U, len(list))
	for i, x := range list {
		var err error
		if out[i], err = f(x); err != nil {
			return nil, err
		}
	}
	return out, nil
}
