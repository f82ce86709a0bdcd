// Package calibration fits the free weights of the conflict model to judged pairs and
// reports how well the fit carries to pairs it has not seen.
//
// The judgements in testdata were written from trade memory in separate passes (median,
// lowest and highest level); they have no published source. The fit is deterministic: a
// descent on the logarithms of the weights, pulled towards their starting values, from a
// fixed start.
package calibration

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Judgement is one judged pair: of customary groups of adults in reference conditions, or of
// stated fish in a stated tank.
type Judgement struct {
	ID        string
	A, B      *species.Species
	Level     conflict.Level // median of the passes
	Low, High conflict.Level // extremes of the passes
	Reason    conflict.Reason
	Direction Direction
	// WaterLevel is the level that the water alone would give; HasWater is false where nobody
	// was asked.
	WaterLevel conflict.Level
	HasWater   bool

	// Of a pair under stated conditions: who and where, and what the level ordinarily is.
	Conditional  bool
	Fish         [2]conflict.Individual
	Tank         *conflict.Tank
	OrdinaryLow  conflict.Level
	OrdinaryHigh conflict.Level
}

// Direction is who harms whom.
type Direction uint8

// The directions.
const (
	NoDirection Direction = iota
	FirstHarmsSecond
	SecondHarmsFirst
	Mutual
)

// String is the judges' word.
func (d Direction) String() string { return [...]string{"none", "a>b", "b>a", "mutual"}[d] }

var directions = map[string]Direction{"": NoDirection, "none": NoDirection, "a>b": FirstHarmsSecond, "b>a": SecondHarmsFirst, "mutual": Mutual}

// reasons are the judges' words for the reasons. Parents that guard a brood are aggressive.
var reasons = map[string]conflict.Reason{
	"none": conflict.NoReason, "predation": conflict.Predation, "aggression": conflict.Aggression,
	"breeding": conflict.Aggression, "fin_nipping": conflict.FinNipping, "water": conflict.Water,
	"feeding": conflict.FeedingClash, "conspecific": conflict.OwnKind,
	"hybridisation": conflict.Hybridisation, "space": conflict.Room,
}

// Read reads a file of judgements, whose header names its columns. Names are looked up with
// find, a trade form behind its species; an unknown species, level, reason or a missing
// column is an error naming the row.
func Read(r io.Reader, find func(name string) (*species.Species, error)) (Panel, error) {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("judgements: %w", err)
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("judgements: no header")
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	for _, name := range []string{"id", "species_a", "species_b", "level", "level_low", "level_high", "main_reason"} {
		if _, ok := at[name]; !ok {
			return nil, fmt.Errorf("judgements: the header has no %s", name)
		}
	}
	out := make(Panel, 0, len(rows)-1)
	for _, cells := range rows[1:] {
		j, err := readRow(row{at, cells}, find)
		if err != nil {
			return nil, fmt.Errorf("judgement %s: %w", cells[0], err)
		}
		out = append(out, j)
	}
	return out, nil
}

// row is a line of the file.
type row struct {
	at    map[string]int
	cells []string
}

// get is the cell of a column, "" where the file has no such column.
func (r row) get(column string) string {
	i, ok := r.at[column]
	if !ok {
		return ""
	}
	return r.cells[i]
}

func readRow(r row, find func(string) (*species.Species, error)) (j Judgement, err error) {
	j.ID = r.get("id")
	for _, side := range []struct {
		into *(*species.Species)
		name string
	}{{&j.A, "a"}, {&j.B, "b"}} {
		name := strings.TrimSpace(r.get("species_"+side.name) + " " + r.get("form_"+side.name))
		if *side.into, err = find(name); err != nil {
			return j, err
		}
	}
	if err := j.readVerdict(r); err != nil {
		return j, err
	}
	if _, ok := r.at["first_count"]; ok {
		err = j.readConditions(r)
	}
	return j, err
}

// readVerdict reads the levels, the reason and the direction.
func (j *Judgement) readVerdict(r row) error {
	var ok bool
	for _, c := range []struct {
		column string
		into   *conflict.Level
	}{{"level", &j.Level}, {"level_low", &j.Low}, {"level_high", &j.High}} {
		if *c.into, ok = conflict.ParseLevel(r.get(c.column)); !ok {
			return fmt.Errorf("unknown level %q", r.get(c.column))
		}
	}
	if word := r.get("water_level"); word != "" {
		if j.WaterLevel, j.HasWater = conflict.ParseLevel(word); !j.HasWater {
			return fmt.Errorf("unknown water level %q", word)
		}
	}
	if j.Reason, ok = reasons[r.get("main_reason")]; !ok {
		return fmt.Errorf("unknown reason %q", r.get("main_reason"))
	}
	if j.Direction, ok = directions[r.get("who_harms_whom")]; !ok {
		return fmt.Errorf("unknown direction %q", r.get("who_harms_whom"))
	}
	return nil
}

// readConditions reads the tank and the fish of a pair under stated conditions.
func (j *Judgement) readConditions(r row) error {
	j.Conditional, j.Tank = true, &conflict.Tank{}
	var ok bool
	if j.OrdinaryLow, ok = conflict.ParseLevel(r.get("ordinary_low")); !ok {
		return fmt.Errorf("unknown level %q", r.get("ordinary_low"))
	}
	if j.OrdinaryHigh, ok = conflict.ParseLevel(r.get("ordinary_high")); !ok {
		return fmt.Errorf("unknown level %q", r.get("ordinary_high"))
	}
	if size := r.get("tank"); size != "" {
		if _, err := fmt.Sscanf(size, "%fx%fx%fcm", &j.Tank.LengthCM, &j.Tank.WidthCM, &j.Tank.HeightCM); err != nil {
			return fmt.Errorf("tank %q: %w", size, err)
		}
	}
	var err error
	number := func(column string) (v float64, known bool) {
		text := r.get(column)
		if text == "" || err != nil {
			return 0, false
		}
		v, err = strconv.ParseFloat(text, 64)
		return v, err == nil
	}
	j.Tank.Cover, j.Tank.CoverKnown = number("cover")
	t := &j.Tank.Reading[species.Temperature]
	t.Value, t.Known = number("temperature_c")
	for i, which := range []string{"first", "second"} {
		n, _ := number(which + "_count")
		length, _ := number(which + "_length_cm")
		j.Fish[i] = conflict.Individual{Count: int(n), LengthCM: length, Sex: sexes[r.get(which+"_sex")]}
	}
	j.oneGroup()
	return err
}

var sexes = map[string]species.Sex{"male": species.Male, "female": species.Female}

// oneGroup lets what is said of the first stand for both where both are one kind.
func (j *Judgement) oneGroup() {
	if j.A != j.B {
		return
	}
	if j.Fish[0] == (conflict.Individual{}) {
		j.Fish[0] = j.Fish[1]
	}
	j.Fish[1] = j.Fish[0]
}
