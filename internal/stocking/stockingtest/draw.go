package stockingtest

import (
	"fmt"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"

	"pgregory.net/rapid"
)

// DrawLines draws a list of between one and most lines from the book. Lines may repeat a
// species, or be of another form of it or of its neighbour in the book, often a congener.
func DrawLines(t *rapid.T, b *conflict.Book, most int) []stocking.Line {
	n := rapid.IntRange(1, most).Draw(t, "lines")
	lines := make([]stocking.Line, n)
	for i := range lines {
		lines[i] = DrawLine(t, b, fmt.Sprint("line", i))
		if i > 0 && rapid.IntRange(0, 3).Draw(t, "related") == 0 {
			lines[i].Index = DrawRelative(t, b, lines[rapid.IntRange(0, i-1).Draw(t, "to")].Index)
		}
	}
	return lines
}

// DrawRelative draws a species of a species' own kind, itself or another form, or its
// neighbour in the book.
func DrawRelative(t *rapid.T, b *conflict.Book, index int) int {
	near := []int{index, min(index+1, b.Snapshot.Len()-1)}
	for i := range b.Snapshot.Len() {
		if i != index && conflict.OneKind(b.Snapshot.At(i), b.Snapshot.At(index)) {
			near = append(near, i)
		}
	}
	return rapid.SampledFrom(near).Draw(t, "relative")
}

func DrawLine(t *rapid.T, b *conflict.Book, label string) stocking.Line {
	l := stocking.Line{
		Index: rapid.IntRange(0, b.Snapshot.Len()-1).Draw(t, label),
		Count: rapid.IntRange(0, 12).Draw(t, label+".count"),
		Sex:   species.Sex(rapid.SampledFrom([]int{0, 0, 0, 1, 2}).Draw(t, label+".sex")),
	}
	if rapid.IntRange(0, 3).Draw(t, label+".sized") == 0 {
		l.LengthCM = rapid.Float64Range(0.5, 40).Draw(t, label+".length")
		l.AgeMonth = rapid.Float64Range(0, 60).Draw(t, label+".age")
	}
	if rapid.IntRange(0, 4).Draw(t, label+".observed") == 0 {
		l.Observed = conflict.Disposition(rapid.IntRange(-1, 1).Draw(t, label+".mood"))
		l.MonthsObserved = rapid.Float64Range(0, 36).Draw(t, label+".months")
	}
	l.Incoming = rapid.IntRange(0, 3).Draw(t, label+".incoming") == 0
	return l
}

// DrawTank draws no tank, or one with any part unknown.
func DrawTank(t *rapid.T) *stocking.Tank {
	if rapid.IntRange(0, 4).Draw(t, "no tank") == 0 {
		return nil
	}
	tank := &stocking.Tank{}
	if rapid.IntRange(0, 4).Draw(t, "dimensions") > 0 {
		tank.LengthCM = rapid.Float64Range(20, 400).Draw(t, "length")
		tank.WidthCM = rapid.Float64Range(15, 150).Draw(t, "width")
		tank.HeightCM = rapid.Float64Range(15, 100).Draw(t, "height")
	} else {
		tank.VolumeL = rapid.SampledFrom([]float64{0, 5, 60, 200, 2000}).Draw(t, "volume")
	}
	if tank.CoverKnown = rapid.Bool().Draw(t, "cover known"); tank.CoverKnown {
		tank.Cover = rapid.Float64Range(0, 1).Draw(t, "cover")
	}
	for p, r := range [...][2]float64{{10, 34}, {4, 9.5}, {0, 40}, {0, 20}} {
		if rapid.Bool().Draw(t, fmt.Sprint("reading", p)) {
			tank.Reading[p] = conflict.Reading{Value: rapid.Float64Range(r[0], r[1]).Draw(t, fmt.Sprint("value", p)), Known: true}
		}
	}
	drawEquipment(t, tank)
	return tank
}

func drawEquipment(t *rapid.T, tank *stocking.Tank) {
	tank.TurnoverPerHour = rapid.SampledFrom([]float64{0, 1, 3, 6, 12}).Draw(t, "turnover")
	for i, at := range []**bool{&tank.Lid, &tank.FilterMature, &tank.Planted} {
		if rapid.Bool().Draw(t, fmt.Sprint("flag", i)) {
			v := rapid.Bool().Draw(t, fmt.Sprint("flag value", i))
			*at = &v
		}
	}
	if rapid.Bool().Draw(t, "changed") {
		v := rapid.Float64Range(0, 1).Draw(t, "weekly change")
		tank.WeeklyChange = &v
	}
	tank.Substrate = rapid.SampledFrom([]string{"", "sand", "gravel", "bare"}).Draw(t, "substrate")
}

func DrawStock(t *rapid.T, b *conflict.Book, most int) stocking.Stock {
	return stocking.Stock{
		Lines: DrawLines(t, b, most), Tank: DrawTank(t),
		Wanted: rapid.SampledFrom([]conflict.Level{conflict.Low, conflict.Moderate, conflict.Moderate, conflict.High}).Draw(t, "wanted"),
	}
}

func DrawTanks(t *rapid.T, most int) []stocking.Tank {
	tanks := make([]stocking.Tank, rapid.IntRange(1, most).Draw(t, "tanks"))
	for i := range tanks {
		if d := DrawTank(t); d != nil {
			tanks[i] = *d
		}
	}
	return tanks
}

// DrawKinds draws a list in which no species comes twice.
func DrawKinds(t *rapid.T, b *conflict.Book, most int) []stocking.Line {
	lines := DrawLines(t, b, most)
	slices.SortFunc(lines, func(x, y stocking.Line) int { return x.Index - y.Index })
	return slices.CompactFunc(lines, func(x, y stocking.Line) bool { return x.Index == y.Index })
}

// DrawYoung draws a list in which most lines are young.
func DrawYoung(t *rapid.T, b *conflict.Book, most int) stocking.Stock {
	s := DrawStock(t, b, most)
	for i := range s.Lines {
		if rapid.IntRange(0, 3).Draw(t, "young") == 0 {
			continue
		}
		s.Lines[i].LengthCM, s.Lines[i].AgeMonth = 0, rapid.Float64Range(0.1, 30).Draw(t, "age")
		if rapid.Bool().Draw(t, "measured") {
			s.Lines[i].LengthCM = rapid.Float64Range(0.5, 12).Draw(t, "length")
		}
	}
	return s
}
