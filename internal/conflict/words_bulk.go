package conflict

import "strings"

// The words for spans of time, one and many.
const (
	WordHour   WordCode = "hour"
	WordHours  WordCode = "hours"
	WordMonth  WordCode = "month"
	WordMonths WordCode = "months"
	WordYear   WordCode = "year"
	WordYears  WordCode = "years"
)

// bulk writes volumes, masses, rates and spans of time with their units; a unit that
// people do not say aloud (a grade, a count) leaves the bare number.
func (w Words) bulk(b *strings.Builder, e Evidence) {
	start := b.Len()
	number(b, e.Value)
	one := b.String()[start:] == "1"
	switch e.Unit {
	case "L":
		b.WriteString(" L")
		w.us(b, e.Value/3.785411784, " US gal")
	case "g":
		b.WriteString(" g")
		w.us(b, e.Value/28.349523125, " oz")
	case "kg":
		b.WriteString(" kg")
		w.us(b, e.Value/0.45359237, " lb")
	case "mg/L", "mg/h":
		b.WriteString(" " + e.Unit)
	case "h":
		w.span(b, one, WordHour, WordHours)
	case "month":
		w.span(b, one, WordMonth, WordMonths)
	case "year":
		w.span(b, one, WordYear, WordYears)
	}
}

func (w Words) span(b *strings.Builder, one bool, single, many WordCode) {
	word := many
	if one {
		word = single
	}
	b.WriteString(" " + w.lang.words[word])
}
