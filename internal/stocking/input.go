package stocking

import (
	"fmt"
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// What one line may say. Beyond these a value is a slip, not a fish.
const (
	MaxCount         = 10000  // fish in one line
	MaxLengthCM      = 500.0  // no aquarium fish is longer
	MinLengthCM      = 0.1    // a larva
	MaxAgeMonths     = 1440.0 // a hundred and twenty years
	MaxObserved      = 1200.0 // months
	MaxWeight        = 1e6    // cost of leaving a line out
	MaxTankCM        = 10000.0
	MaxTankL         = 1e7
	MaxTurnover      = 1000.0
	MaxSourceNitrate = 1000.0
)

// Problem says what is wrong with one field of a list.
type Problem struct {
	Line     int // position in Stock.Lines, or -1 for the list or the tank
	Field    string
	Value    float64
	Min, Max float64 // what is accepted
	What     string
}

// InputError lists everything that is wrong with a list; nothing was judged.
type InputError struct{ Problems []Problem }

// Error names the problems.
func (e *InputError) Error() string {
	said := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		said[i] = p.What
		if p.Line >= 0 {
			said[i] = fmt.Sprintf("line %d: %s", p.Line, p.What)
		}
	}
	return "stocking: " + strings.Join(said, "; ")
}

// Inspector gathers problems.
type Inspector struct{ Found []Problem }

// Within notes a value outside its closed range; not-a-number is outside every range.
func (in *Inspector) Within(line int, field string, v, low, high float64) {
	if v >= low && v <= high {
		return
	}
	in.Found = append(in.Found, Problem{line, field, v, low, high,
		fmt.Sprintf("%s %g is outside %g to %g", field, v, low, high)})
}

// Optional is within for a value whose zero means "not given".
func (in *Inspector) Optional(line int, field string, v, low, high float64) {
	if v != 0 {
		in.Within(line, field, v, low, high)
	}
}

// Validate reports, as an [*InputError], an empty or overlong list and every value out
// of range; nil when the list can be judged.
func (s *Stock) Validate(book *conflict.Book) error {
	var in Inspector
	in.Within(-1, "lines", float64(len(s.Lines)+len(s.Others)), 1, MaxLines)
	if len(s.Lines) <= MaxLines {
		for i := range s.Lines {
			in.Line(i, &s.Lines[i], book.Snapshot.Len())
		}
	}
	if s.Wanted > conflict.Severe {
		in.Within(-1, "wanted_level", float64(s.Wanted), 0, float64(conflict.Severe))
	}
	in.Tank(s.Tank)
	return in.Err()
}

// Err is nil where nothing was found, else an [*InputError] with all of it.
func (in *Inspector) Err() error {
	if in.Found == nil {
		return nil
	}
	return &InputError{in.Found}
}

func (in *Inspector) Line(i int, l *Line, kinds int) {
	in.Within(i, "species", float64(l.Index), 0, float64(kinds-1))
	in.Within(i, "count", float64(l.Count), 0, MaxCount)
	in.Within(i, "sex", float64(l.Sex), 0, float64(species.Female))
	in.Optional(i, "length_cm", l.LengthCM, MinLengthCM, MaxLengthCM)
	in.Within(i, "age_months", l.AgeMonth, 0, MaxAgeMonths)
	in.Within(i, "disposition", float64(l.Observed), float64(conflict.Calmer), float64(conflict.Fiercer))
	in.Within(i, "months_observed", l.MonthsObserved, 0, MaxObserved)
	in.Within(i, "weight", l.Weight, 0, MaxWeight)
}

func (in *Inspector) Tank(t *Tank) {
	if t == nil {
		return
	}
	for _, edge := range []struct {
		field string
		cm    float64
	}{{"length", t.LengthCM}, {"width", t.WidthCM}, {"height", t.HeightCM}} {
		in.Optional(-1, edge.field, edge.cm, 1, MaxTankCM)
	}
	in.Optional(-1, "volume_l", t.VolumeL, 0.1, MaxTankL)
	in.Optional(-1, "turnover", t.TurnoverPerHour, 0.001, MaxTurnover)
	if t.CoverKnown {
		in.Within(-1, "cover", t.Cover, 0, 1)
	}
	if t.WeeklyChange != nil {
		in.Within(-1, "weekly_change", *t.WeeklyChange, 0, 1)
	}
	if t.SourceNitrate != nil {
		in.Within(-1, "source_nitrate", *t.SourceNitrate, 0, MaxSourceNitrate)
	}
	for p := range species.Parameter(species.NumParameters) {
		if r := t.Reading[p]; r.Known {
			info := p.Info()
			in.Within(-1, info.Key, r.Value, info.Min, info.Max)
		}
	}
}
