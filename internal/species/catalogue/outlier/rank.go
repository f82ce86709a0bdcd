package outlier

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"commensal/internal/species"
)

// Outlier is a value with its distance from what is predicted.
type Outlier struct {
	Species  species.ID
	Field    string  // as reviews name it
	Distance float64 // in robust standard deviations; above zero where the value is larger than predicted
	Detail   string  // one line for people
}

// leastDistance is how far a value is off before it is worth a line.
const leastDistance = 2.0

// Of ranks the values of all entries, the farthest first, fields in the order of the text. What is nearer
// than two robust standard deviations is left out. Trade forms, which differ on purpose, are too.
func Of(entries []*species.Species) []Outlier {
	var kinds []*species.Species
	for _, s := range entries {
		if s != nil && s.FormOf == "" {
			kinds = append(kinds, s)
		}
	}
	t := newTable(kinds)
	var out []Outlier
	for i := range values {
		out = append(out, t.rank(i)...)
	}
	return out
}

// rank gives the outliers of one value.
func (t *table) rank(of int) []Outlier {
	x, y, rows := t.design(of)
	if len(rows) <= 2*(len(values)+len(t.groups)) {
		return nil // too few to tell what is usual
	}
	residuals, ok := leaveOneOut(x, y)
	if !ok {
		return nil
	}
	rest, kin := t.withoutKin(rows, residuals)
	_, spread := robust(rest)
	spread = math.Max(spread, values[of].least/t.spread[of])
	var out []Outlier
	for r, i := range rows {
		distance := rest[r] / spread
		if math.Abs(distance) >= leastDistance {
			out = append(out, t.outlier(of, i, y[r], rest[r], kin[r], distance))
		}
	}
	slices.SortStableFunc(out, func(a, b Outlier) int { return cmp.Compare(math.Abs(b.Distance), math.Abs(a.Distance)) })
	return out
}

// halfTrusted is the number of relatives whose common residual counts half.
const halfTrusted = 3.0

// withoutKin takes off each residual what is common to the others of its family, and then of its genus. kin is
// what was taken off.
func (t *table) withoutKin(rows []int, residuals []float64) (rest, kin []float64) {
	rest = slices.Clone(residuals)
	for _, relatives := range []func(*species.Species) string{
		func(s *species.Species) string { return s.Family }, (*species.Species).Genus,
	} {
		groups := make(map[string][]int)
		for r, i := range rows {
			key := relatives(t.entries[i])
			groups[key] = append(groups[key], r)
		}
		before := slices.Clone(rest)
		for _, members := range groups {
			for _, r := range members {
				rest[r] -= commonToOthers(before, members, r)
			}
		}
	}
	kin = make([]float64, len(rest))
	for r := range rest {
		kin[r] = residuals[r] - rest[r]
	}
	return rest, kin
}

// commonToOthers is the median residual of the others of a group, drawn to zero where they are few.
func commonToOthers(residuals []float64, members []int, without int) float64 {
	others := make([]float64, 0, len(members))
	for _, r := range members {
		if r != without {
			others = append(others, residuals[r])
		}
	}
	if len(others) == 0 {
		return 0
	}
	n := float64(len(others))
	return median(others) * n / (n + halfTrusted)
}

// outlier explains one value.
func (t *table) outlier(of, i int, y, rest, kin, distance float64) Outlier {
	v, s := values[of], t.entries[i]
	unscale := func(x float64) float64 { return t.centre[of] + x*t.spread[of] }
	side := "above"
	if distance < 0 {
		side = "below"
	}
	detail := fmt.Sprintf("%s %s is %.1f robust standard deviations %s the %s expected of its other traits (%s, %s)",
		v.shown(unscale(y)), v.unit, math.Abs(distance), side, v.shown(unscale(y-rest)), s.BodyForm, s.Guild)
	if math.Abs(kin) > math.Abs(rest)/4 {
		word := "higher"
		if kin < 0 {
			word = "lower"
		}
		detail += fmt.Sprintf(", and %s and %s lie %s than others", s.Family, s.Genus(), word)
	}
	return Outlier{Species: s.ID, Field: v.field, Distance: distance, Detail: detail}
}
