package links

import (
	"math"
	"strconv"
	"strings"

	"commensal/internal/species"
	"commensal/internal/units"
)

// The bounds of a line; the same as a check has.
const (
	MaxCount  = 1000
	maxLength = 500.0  // cm
	maxAge    = 1440.0 // months
)

// Line is one line of a list: so many fish of a kind.
type Line struct {
	Count     int // 0 where no number is given
	Name      string
	Sex       species.Sex
	LengthCM  float64 // present total length; 0 for adults
	AgeMonths float64 // 0 where it is not known
	// Bare is the name without a word for its sex, where it had one: "betta" for
	// "female betta". Whoever resolves names tries Name first.
	Bare string
}

// token is the line as it stands in a link.
func (l *Line) token() string {
	var b strings.Builder
	if l.Count > 0 {
		b.WriteString(strconv.Itoa(l.Count) + "-")
	}
	b.WriteString(l.Name)
	if l.Sex != species.Unsexed {
		b.WriteString("-" + l.Sex.String())
	}
	if l.LengthCM > 0 {
		b.WriteString("-" + number(l.LengthCM) + "cm")
	}
	if l.AgeMonths > 0 {
		b.WriteString("-" + number(l.AgeMonths) + "mo")
	}
	return b.String()
}

// Text is the line as a person writes it, which [ReadBasket] reads back.
func (l *Line) Text() string {
	parts := make([]string, 0, 5)
	if l.Count > 0 {
		parts = append(parts, strconv.Itoa(l.Count))
	}
	parts = append(parts, l.Name)
	if l.Sex != species.Unsexed {
		parts = append(parts, l.Sex.String())
	}
	if l.LengthCM > 0 {
		parts = append(parts, number(l.LengthCM)+" cm")
	}
	if l.AgeMonths > 0 {
		parts = append(parts, number(l.AgeMonths)+" months")
	}
	return strings.Join(parts, " ")
}

// readToken reads a line of a link.
func readToken(token string) (Line, *Fault) {
	var l Line
	rest := token
	if head, tail, ok := strings.Cut(rest, "-"); ok && allDigits(head) {
		n, err := strconv.Atoi(head)
		if err != nil || n < 1 || n > MaxCount {
			return l, lineFault(token, "the number of fish is not possible")
		}
		l.Count, rest = n, tail
	}
	for {
		i := strings.LastIndexByte(rest, '-')
		if i <= 0 || !l.mark(rest[i+1:]) {
			break
		}
		rest = rest[:i]
	}
	if l.Name = rest; rest == "" || len(rest) > species.MaxName {
		return l, lineFault(token, "there is no name")
	}
	return l, nil
}

// mark takes one mark behind a name, each at most once.
func (l *Line) mark(text string) bool {
	switch {
	case text == "male" && l.Sex == species.Unsexed:
		l.Sex = species.Male
	case text == "female" && l.Sex == species.Unsexed:
		l.Sex = species.Female
	case strings.HasSuffix(text, "cm") && l.LengthCM == 0:
		return bounded(strings.TrimSuffix(text, "cm"), 0.1, maxLength, &l.LengthCM)
	case strings.HasSuffix(text, "mo") && l.AgeMonths == 0:
		return bounded(strings.TrimSuffix(text, "mo"), 0.1, maxAge, &l.AgeMonths)
	default:
		return false
	}
	return true
}

// bounded stores a plain number within bounds, to a tenth.
func bounded(text string, low, high float64, to *float64) bool {
	x, ok := plainNumber(text)
	if !ok || !(x >= low && x <= high) {
		return false
	}
	*to = math.Round(x*10) / 10
	return true
}

// plainNumber reads digits with at most one point: no sign, exponent or other word.
func plainNumber(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if s == "" || len(s) > 12 || strings.Trim(s, "0123456789.") != "" {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil
}

func allDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

func lineFault(token, what string) *Fault {
	return &Fault{"list", Printable(token, 40), what, "write a number and a name, as in 6-neon-tetra"}
}

// readFishLength reads the length of a fish from a form; empty is 0.
func readFishLength(field, text string) (float64, *Fault) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, nil
	}
	x, err := units.ParseLength(text, units.Centimetre)
	if err == nil && !(x > 0 && x <= maxLength) {
		err = &units.ParseError{What: "it is not possible", Fix: "write a length from 0.1 to 500 cm"}
	}
	if err != nil {
		f := faultOf(field, text, err)
		return 0, &f
	}
	return x, nil
}
