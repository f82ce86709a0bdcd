// Package calibration fits the free weights of the conflict model to a panel of
// judged pairs and reports how well the fit carries to pairs it has not seen.
//
// The panel in testdata/judgements.csv was written from trade memory in separate
// passes (median, lowest and highest level); it has no published source. The fit is
// deterministic: a pattern search on the logarithms of the weights, pulled towards
// their starting values, from a fixed start.
package calibration

import (
	"encoding/csv"
	"fmt"
	"io"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Judgement is one judged pair.
type Judgement struct {
	ID         string
	A, B       *species.Species
	Level      conflict.Level // median of the passes
	Low, High  conflict.Level // extremes of the passes
	Reason     string         // main reason as written
	WaterLevel conflict.Level
}

// columns of the panel, in order.
var columns = []string{"id", "species_a", "species_b", "level", "level_low", "level_high", "main_reason", "who_harms_whom", "water_level"}

// Read reads a panel. Names are looked up with find; an unknown species, a wrong
// header or an unknown level is an error naming the row.
func Read(r io.Reader, find func(name string) (*species.Species, error)) ([]Judgement, error) {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("judgements: %w", err)
	}
	if len(rows) == 0 || fmt.Sprint(rows[0]) != fmt.Sprint(columns) {
		return nil, fmt.Errorf("judgements: header must be %v", columns)
	}
	out := make([]Judgement, 0, len(rows)-1)
	for _, row := range rows[1:] {
		j, err := readRow(row, find)
		if err != nil {
			return nil, fmt.Errorf("judgement %s: %w", row[0], err)
		}
		out = append(out, j)
	}
	return out, nil
}

func readRow(row []string, find func(string) (*species.Species, error)) (Judgement, error) {
	j := Judgement{ID: row[0], Reason: row[6]}
	var err error
	if j.A, err = find(row[1]); err != nil {
		return j, err
	}
	if j.B, err = find(row[2]); err != nil {
		return j, err
	}
	for i, into := range []*conflict.Level{&j.Level, &j.Low, &j.High} {
		level, ok := conflict.ParseLevel(row[3+i])
		if !ok {
			return j, fmt.Errorf("unknown level %q", row[3+i])
		}
		*into = level
	}
	level, ok := conflict.ParseLevel(row[8])
	if !ok {
		return j, fmt.Errorf("unknown water level %q", row[8])
	}
	j.WaterLevel = level
	return j, nil
}
