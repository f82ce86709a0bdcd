package links

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// The bounds of a link to a list.
const (
	MaxLink  = 1500 // bytes
	MaxLines = 24   // more kinds are no tank, and no page for a phone
)

// TooLong says that a list has more than [MaxLines] or [MaxLink] hold.
func TooLong(text string) Fault {
	return Fault{"list", Printable(text, 40), "the list is too long", "ask about at most " + strconv.Itoa(MaxLines) + " kinds at once"}
}

// List is a list of fish, with the tank where it is known. Residents are what lives
// there, or the list itself where nothing is about to join.
type List struct {
	Residents, Incoming []Line
	Tank                Tank
}

// ReadList reads a link. What is wrong comes as a fault for each part.
func ReadList(link string) (List, []Fault) {
	var l List
	if len(link) > MaxLink {
		return l, []Fault{TooLong(link)}
	}
	var faults []Fault
	fish, tank, hasTank := strings.Cut(link, "@")
	living, joining, hasJoining := strings.Cut(fish, "~")
	if living != "" {
		l.Residents, faults = readLines(living, faults)
	}
	if hasJoining {
		l.Incoming, faults = readLines(joining, faults)
	}
	if hasTank {
		for item := range strings.SplitSeq(tank, ",") {
			if f := l.Tank.readItem(item); f != nil {
				faults = append(faults, *f)
			}
		}
	}
	if n := len(l.Residents) + len(l.Incoming); len(faults) == 0 && (n == 0 || n > MaxLines) {
		faults = append(faults, Fault{"list", Printable(link, 40), "a list has 1 to " + strconv.Itoa(MaxLines) + " lines", "write a number and a name for each kind"})
	}
	return l, faults
}

func readLines(text string, faults []Fault) ([]Line, []Fault) {
	var out []Line
	for token := range strings.SplitSeq(text, "+") {
		line, f := readToken(token)
		if f != nil {
			faults = append(faults, *f)
			continue
		}
		out = append(out, line)
	}
	return out, faults
}

// Canonical is the list with its lines in order and like lines added up, so that one
// list has one link. Names must be ids by then.
func (l List) Canonical() List {
	l.Residents, l.Incoming = canonicalLines(l.Residents), canonicalLines(l.Incoming)
	if l.Tank.Sized() {
		l.Tank.VolumeL = 0
	}
	return l
}

func canonicalLines(lines []Line) []Line {
	out := slices.Clone(lines)
	slices.SortStableFunc(out, compareKind)
	merged := out[:0]
	for _, line := range out {
		line.Bare = ""
		if n := len(merged); n > 0 && compareKind(merged[n-1], line) == 0 && merged[n-1].Count > 0 && line.Count > 0 {
			merged[n-1].Count = min(merged[n-1].Count+line.Count, MaxCount)
			continue
		}
		merged = append(merged, line)
	}
	return merged
}

// compareKind orders lines by all that keeps them apart but the number. A line without
// a number comes before one with it and is not added to it.
func compareKind(a, b Line) int {
	return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.Sex, b.Sex),
		cmp.Compare(a.LengthCM, b.LengthCM), cmp.Compare(a.AgeMonths, b.AgeMonths),
		cmp.Compare(min(a.Count, 1), min(b.Count, 1)))
}

// Link is the list as one segment of a path. Every character in it may stand there
// unescaped, provided that names are ids.
func (l *List) Link() string {
	b := make([]byte, 0, 160)
	b = appendLines(b, l.Residents)
	if len(l.Incoming) > 0 {
		b = append(b, '~')
		b = appendLines(b, l.Incoming)
	}
	if !l.Tank.Empty() {
		b = append(b, '@')
		b = l.Tank.append(b)
	}
	return string(b)
}

func appendLines(b []byte, lines []Line) []byte {
	for i := range lines {
		if i > 0 {
			b = append(b, '+')
		}
		b = append(b, lines[i].token()...)
	}
	return b
}

// Path is the address of the list's page.
func (l *List) Path() string { return "/lists/" + l.Link() }
