package scale

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
)

// Cost is what one request takes of processors, in microseconds of one core.
type Cost struct {
	Service  float64 `json:"service_us"`  // the client, which was in the same process, included
	Database float64 `json:"database_us"` // all processes of PostgreSQL
}

// Figures are what was measured, on one machine, by cmd/scale.
type Figures struct {
	Machine string `json:"machine"`
	Kinds   int    `json:"kinds"` // in the catalogue

	CachedPairing   float64 `json:"cached_pairing_us"`   // asked before: microseconds of one core, the client included
	ComputedPairing float64 `json:"computed_pairing_us"` // judged and encoded anew
	PairingBytes    float64 `json:"pairing_bytes"`       // the body, mean over random pairs
	CheckBytes      float64 `json:"check_bytes"`         // of the answer to a check
	ServiceBytes    float64 `json:"service_bytes"`       // of memory after all of it, with a cache of MeasuredCacheMiB

	Tank    Stored `json:"tank"`    // with six lines of residents, in one request
	Reading Stored `json:"reading"` // of a tank
	Record  Stored `json:"record"`  // a check of eight lines, recorded
	List    Cost   `json:"list"`    // a page of fifty tanks
}

// Stored is a request that stores something, with an Idempotency-Key.
type Stored struct {
	Cost
	Bytes float64 `json:"bytes"`     // on disk, tables and indexes, for good
	WAL   float64 `json:"wal_bytes"` // of the log of changes
	Brief float64 `json:"day_bytes"` // on disk for a day: the answer that a repeat gets
}

// MeasuredCacheMiB is COMMENSAL_ANSWER_CACHE of the service that is measured.
const MeasuredCacheMiB = 32

// Round leaves three digits of each figure: more were never measured.
func (f *Figures) Round() { round(reflect.ValueOf(f).Elem()) }

func round(v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			round(v.Field(i))
		}
	case reflect.Float64:
		if x := v.Float(); x != 0 {
			unit := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-2)
			v.SetFloat(math.Round(x/unit) * unit)
		}
	}
}

// Read reads figures and makes sure that each was measured.
func Read(r io.Reader) (f Figures, err error) {
	decoder := json.NewDecoder(r)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&f); err != nil {
		return f, fmt.Errorf("scale: read the figures: %w", err)
	}
	return f, f.check()
}

func (f *Figures) check() error { return positive("", reflect.ValueOf(*f)) }

// positive finds a number that is none.
func positive(name string, v reflect.Value) error {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if err := positive(name+" "+v.Type().Field(i).Name, v.Field(i)); err != nil {
				return err
			}
		}
	case reflect.Float64:
		if x := v.Float(); !(x > 0 && x < 1e15) {
			return fmt.Errorf("scale:%s was not measured: it is %v", name, x)
		}
	case reflect.Int:
		if v.Int() <= 0 {
			return fmt.Errorf("scale:%s was not measured: it is %d", name, v.Int())
		}
	}
	return nil
}
