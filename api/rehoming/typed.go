package rehoming

import (
	"encoding/json"
	"strconv"

	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/pages/links"
	"commensal/internal/species"
)

// readSize reads the size of a tank as the page /adopt does: three sides, or a volume. Both are empty for blank text.
func readSize(raw json.RawMessage) (size string, litres float64, fault *links.Fault) {
	var text string
	if json.Unmarshal(raw, &text) != nil {
		text = string(raw) // a number
	}
	sides, litres, fault := links.ReadTank(text)
	if fault == nil && litres == 0 && sides.Length > 0 {
		t := links.Tank{Size: sides}
		size = t.Extent()
	}
	return size, litres, fault
}

// livesThere is where the text stands that says who lives there.
const livesThere = "/lives_there"

// typed reads who lives there as people write it.
func (f *form) typed() (out []gen.LineInput) {
	if f.in.LivesThere == nil {
		return nil
	}
	lines, faults := links.ReadBasket(*f.in.LivesThere)
	for _, fault := range faults {
		f.Impossible(livesThere, strconv.Quote(fault.Input)+": "+fault.What+".", fault.Fix)
	}
	for i := range lines {
		out = f.line(out, livesThere, f.lineOf(&lines[i]))
	}
	return out
}

// lineOf is a typed line as a line of the wire. A word for the sex is part of the name where a kind is called so.
func (f *form) lineOf(l *links.Line) gen.LineInput {
	in := gen.LineInput{Species: l.Name}
	if l.Bare != "" {
		if _, err := f.book.Snapshot.Resolve(l.Name); err == nil {
			l.Sex = species.Unsexed
		} else {
			in.Species = l.Bare
		}
	}
	if l.Sex != species.Unsexed {
		sex := gen.Sex(l.Sex.String())
		in.Sex = &sex
	}
	if l.Count > 0 {
		count := float64(l.Count)
		in.Count = &count
	}
	if l.LengthCM > 0 {
		length := quantity(l.LengthCM)
		in.LengthCm = &length
	}
	in.AgeMonths = wire.Present(l.AgeMonths)
	return in
}
