package stocking

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// finder gathers the findings of one judging. Its parts run in order of what matters;
// within one severity that order stands.
type finder struct {
	*judging
	out []Finding
}

// find lists the findings, the gravest first, then by kind of finding, then by line.
func (j *judging) find() []Finding {
	f := &finder{judging: j, out: make([]Finding, 0, 8+2*len(j.lines))}
	f.sharedWater()
	f.kinds(f.readings)
	f.kinds(f.swingsOf)
	f.swings()
	f.kinds(f.tankSize)
	f.ahead()
	f.loads()
	f.kinds(f.group)
	f.kinds(f.sexes)
	f.hybrids()
	f.crowding()
	f.kinds(f.keeping)
	f.kinds(f.flow)
	f.eachLine(f.growth)
	f.kinds(f.commitment)
	f.tankItself()
	slices.SortStableFunc(f.out, func(a, b Finding) int { return cmp.Compare(b.Severity, a.Severity) })
	return f.out
}

// kinds runs a part once for each species on the list, with its first line.
func (f *finder) kinds(part func(first int)) {
	for i := range f.lines {
		if f.lines[i].kind == i {
			part(i)
		}
	}
}

func (f *finder) eachLine(part func(i int)) {
	for i := range f.lines {
		part(i)
	}
}

// kindLines are all lines of a species, from its first.
func (f *finder) kindLines(first int) []int {
	lines := []int{first}
	for i := first + 1; i < len(f.lines) && f.lines[i].kind == first; i++ {
		lines = append(lines, i)
	}
	return lines
}

// add adds a finding about the lines of one species.
func (f *finder) add(severity Severity, code Code, lines []int, remedy *Change, ev ...conflict.Evidence) *Finding {
	s := conflict.Statement{Code: code, Evidence: ev}
	if len(lines) > 0 {
		s.Actor = f.lines[lines[0]].species
	}
	f.out = append(f.out, Finding{Severity: severity, Lines: lines, Statement: s, Remedy: remedy})
	return &f.out[len(f.out)-1]
}

// change makes a remedy; line is -1 for a change to the tank.
func (f *finder) change(kind ChangeKind, line int, ev ...conflict.Evidence) *Change {
	c := &Change{Kind: kind, Line: line, Statement: conflict.Statement{Code: Code("change." + string(kind)), Evidence: ev}}
	if line >= 0 {
		c.Statement.Actor = f.lines[line].species
	}
	return c
}

// units of evidence that conflict.Words writes.
var parameterUnit = [species.NumParameters]string{"C", "pH", "dH", "ppt"}

var parameterWord = [species.NumParameters]conflict.WordCode{
	conflict.WordTemperature, conflict.WordPH, conflict.WordHardness, conflict.WordSalinity,
}

var zoneWord = [species.NumZones]conflict.WordCode{
	conflict.WordSurface, conflict.WordMiddle, conflict.WordBottom,
}
