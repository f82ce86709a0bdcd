package stocking

import (
	"fmt"

	"commensal/internal/conflict"
	"commensal/internal/species"

	"pgregory.net/rapid"
)

// drawLines draws a list of between one and most lines from the book. Lines may repeat
// a species.
func drawLines(t *rapid.T, b *conflict.Book, most int) []Line {
	n := rapid.IntRange(1, most).Draw(t, "lines")
	lines := make([]Line, n)
	for i := range lines {
		lines[i] = drawLine(t, b, fmt.Sprint("line", i))
	}
	return lines
}

func drawLine(t *rapid.T, b *conflict.Book, label string) Line {
	l := Line{
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

// drawTank draws no tank, or one with any part unknown.
func drawTank(t *rapid.T) *Tank {
	if rapid.IntRange(0, 4).Draw(t, "no tank") == 0 {
		return nil
	}
	tank := &Tank{}
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

func drawEquipment(t *rapid.T, tank *Tank) {
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

func drawStock(t *rapid.T, b *conflict.Book, most int) Stock {
	return Stock{
		Lines: drawLines(t, b, most), Tank: drawTank(t),
		Wanted: rapid.SampledFrom([]conflict.Level{conflict.Low, conflict.Moderate, conflict.Moderate, conflict.High}).Draw(t, "wanted"),
	}
}
