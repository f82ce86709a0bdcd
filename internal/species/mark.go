package species

import (
	"math"
	"strconv"
	"strings"
)

// Mark says that a published source was held against a value and agrees with it. The value
// keeps its own basis: a mark copies no number of the source.
type Mark struct {
	Source string // key of the list of sources
	Field  string // as reviews name it, for example "length" or "water ph"
	// Value is what the catalogue said when the two were compared, as [Species.ValueText]
	// writes it. The mark holds for that value alone.
	Value string
}

// String is the mark as the text has it: "fishbase-2013 water ph 5.5 6 7.5 8".
func (m Mark) String() string { return m.Source + " " + m.Field + " " + m.Value }

// Holds reports whether the value is still the one that was compared.
func (s *Species) Holds(m Mark) bool {
	text, ok := s.ValueText(m.Field)
	return ok && text == m.Value
}

// AgreesWith are the keys of the sources that agree with a value as it stands, in the order
// of the marks; nil where nobody has looked.
func (s *Species) AgreesWith(field string) []string {
	var keys []string
	for _, m := range s.Checked {
		if m.Field == field && s.Holds(m) {
			keys = append(keys, m.Source)
		}
	}
	return keys
}

// ValueText writes the numbers of a trait ("length") or of a water parameter ("water ph") with
// blanks between them, without unit and basis. ok is false where the entry has no such value.
func (s *Species) ValueText(field string) (text string, ok bool) {
	if key, isWater := strings.CutPrefix(field, "water "); isWater {
		for p, w := range s.Water {
			if parameterInfo[p].Key == key && w.Known() {
				return numbersText(w.Tolerated.Low, w.Preferred.Low, w.Preferred.High, w.Tolerated.High), true
			}
		}
		return "", false
	}
	t, known := TraitByKey(field)
	if !known || !s.Traits[t].Known() {
		return "", false
	}
	v := s.Traits[t]
	return numbersText(v.Low, v.Typical, v.High), true
}

func numbersText(list ...float64) string {
	parts := make([]string, len(list))
	for i, x := range list {
		parts[i] = strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strings.Join(parts, " ")
}

// IsMarkField reports whether a published source can be held against a field: a trait, or a
// water parameter.
func IsMarkField(field string) bool {
	if key, isWater := strings.CutPrefix(field, "water "); isWater {
		for _, info := range parameterInfo {
			if info.Key == key {
				return true
			}
		}
		return false
	}
	_, ok := TraitByKey(field)
	return ok
}

// ParseMark reads a mark as [Mark.String] writes it; ok is false for anything else.
func ParseMark(text string) (m Mark, ok bool) {
	words := strings.Split(text, " ")
	at := 2 // where the numbers begin
	if len(words) > 1 && words[1] == "water" {
		at = 3
	}
	if len(words) <= at || !isMarkSource(words[0]) {
		return Mark{}, false
	}
	for _, number := range words[at:] {
		x, err := strconv.ParseFloat(number, 64)
		if err != nil || !(0 <= x && x <= math.MaxFloat64) || numbersText(x) != number {
			return Mark{}, false
		}
	}
	m = Mark{Source: words[0], Field: strings.Join(words[1:at], " "), Value: strings.Join(words[at:], " ")}
	return m, IsMarkField(m.Field)
}

// isMarkSource reports whether a key is of letters, digits, '.', '_' and '-'.
func isMarkSource(key string) bool {
	return key != "" && !strings.ContainsFunc(key, func(c rune) bool {
		return !('a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || c == '.' || c == '_' || c == '-')
	})
}
