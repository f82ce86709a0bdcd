package links

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"commensal/internal/species"
	"commensal/internal/units"
)

// MaxBasket is the longest basket in bytes that is read.
const MaxBasket = 8000

// ReadBasket reads a list as people type or paste it: one kind to a line, or several
// parted by commas or semicolons where there is one line only. A number may stand
// before or behind the name ("6 neon tetra", "neon tetra x6"), the sex too ("male
// betta", "betta (f)"), a length or an age behind ("5 cm", "4 months"). A word for
// nobody alone, such as "none", is an empty list.
func ReadBasket(text string) ([]Line, []Fault) {
	if len(text) > MaxBasket {
		return nil, []Fault{TooLong(text)}
	}
	if nobody[strings.ToLower(strings.Trim(text, " \t\r\n.!-–—"))] {
		return nil, nil
	}
	var out []Line
	var faults []Fault
	for _, line := range basketLines(text) {
		l, f := readTyped(line)
		if f != nil {
			faults = append(faults, *f)
			continue
		}
		out = append(out, l)
	}
	if len(out) > MaxLines {
		return out[:MaxLines], append(faults, TooLong(text))
	}
	return out, faults
}

// nobody are answers to the question who lives there.
var nobody = map[string]bool{"none": true, "nothing": true, "nobody": true, "no one": true, "no fish": true, "no fish yet": true,
	"nothing yet": true, "none yet": true, "empty": true, "it is empty": true, "n/a": true}

func basketLines(text string) []string {
	lines := notEmpty(strings.FieldsFunc(text, func(r rune) bool { return r == '\n' || r == '\r' || r == ';' }))
	if len(lines) == 1 {
		return notEmpty(splitCommas(lines[0]))
	}
	return lines
}

// splitCommas parts a single line at its commas, but not before a lone number, length or
// age: "neon tetra, 6" and "oscar, 12 cm" are one kind.
func splitCommas(line string) []string {
	var out []string
	for part := range strings.SplitSeq(line, ",") {
		if n := len(out); n > 0 && allDigits(strings.TrimSpace(part)) {
			out[n-1] += " x" + strings.TrimSpace(part)
			continue
		} else if n > 0 && (lengthTail.MatchString(" "+part) || ageTail.MatchString(" "+part)) && loneSize(part) {
			out[n-1] += " " + strings.TrimSpace(part)
			continue
		}
		out = append(out, part)
	}
	return out
}

// loneSize reports whether a text begins with a number, once trimmed, and holds no more
// than a unit.
func loneSize(s string) bool {
	return strings.Trim(strings.ToLower(strings.TrimSpace(s)), "0123456789. cmihontsyear\"") == ""
}

func notEmpty(lines []string) []string {
	out := lines[:0]
	for _, l := range lines {
		l = strings.Join(strings.Fields(strings.TrimLeft(strings.TrimSpace(l), "-*•·")), " ")
		if l != "" && !strings.HasPrefix(l, "#") {
			out = append(out, l)
		}
	}
	return out
}

var (
	countBefore = regexp.MustCompile(`^(\d{1,6}|(?i:a pair of|pair of|one|two|three|four|five|six|seven|eight|nine|ten|an|a))(?:\s*[x×*])?(?:\s+|$)`)
	countX      = regexp.MustCompile(`^(\d{1,6})\s*[x×*]\s*`)
	countBehind = regexp.MustCompile(`(?i)\s*(?:[,:]|\(|[x×*])\s*(\d{1,6})\s*\)?$`)
	lengthTail  = regexp.MustCompile(`(?i)[\s,(]+(\d{1,4}(?:\.\d+)?)\s*(cm|mm|in|inch|inches|")\)?$`)
	ageTail     = regexp.MustCompile(`(?i)[\s,(]+(\d{1,4}(?:\.\d+)?)\s*(mo|month|months|year|years)\)?$`)
	sexWord     = regexp.MustCompile(`(?i)(?:^|[\s(,])(males?|females?|♂|♀|\(m\)|\(f\))(?:$|[\s),])`)
)

var countWords = map[string]int{"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
	"seven": 7, "eight": 8, "nine": 9, "ten": 10, "a pair of": 2, "pair of": 2}

// readTyped reads one line of a basket.
func readTyped(text string) (Line, *Fault) {
	var l Line
	rest := l.takeSize(text)
	rest, ok := l.takeCount(rest)
	if !ok {
		return l, &Fault{"list", Printable(text, 40), "the number of fish is not possible", "write a number from 1 to 1000 and a name"}
	}
	rest = l.takeSize(rest)
	l.Name = strings.TrimSpace(rest)
	l.takeSex()
	if l.Name == "" || len(l.Name) > species.MaxName {
		return l, &Fault{"list", Printable(text, 40), "there is no name", "write a number and a name, as in 6 neon tetra"}
	}
	return l, nil
}

// takeCount takes the number of fish off the text; ok is false where it is not possible.
func (l *Line) takeCount(text string) (rest string, ok bool) {
	word := ""
	if m := countX.FindStringSubmatch(text); m != nil {
		word, text = m[1], text[len(m[0]):]
	} else if m := countBefore.FindStringSubmatch(text); m != nil {
		word, text = strings.ToLower(m[1]), text[len(m[0]):]
	} else if m := countBehind.FindStringSubmatchIndex(text); m != nil {
		word, text = text[m[2]:m[3]], text[:m[0]]
	}
	if word == "" {
		return text, true
	}
	n, known := countWords[word]
	if !known {
		n, _ = strconv.Atoi(word)
	}
	l.Count = n
	return text, n >= 1 && n <= MaxCount
}

// takeSize takes a length and an age off the end of the text.
func (l *Line) takeSize(text string) string {
	for range 2 {
		if m := lengthTail.FindStringSubmatchIndex(text); m != nil && l.LengthCM == 0 {
			x, err := units.ParseLength(text[m[2]:m[5]], units.Centimetre)
			if err == nil && x <= maxLength {
				l.LengthCM, text = math.Round(x*10)/10, text[:m[0]]
			}
		}
		if m := ageTail.FindStringSubmatchIndex(text); m != nil && l.AgeMonths == 0 {
			x, _ := plainNumber(text[m[2]:m[3]])
			if strings.HasPrefix(strings.ToLower(text[m[4]:m[5]]), "y") {
				x *= 12
			}
			if x > 0 && x <= maxAge {
				l.AgeMonths, text = x, text[:m[0]]
			}
		}
	}
	return text
}

// takeSex notes a word for the sex and the name without it.
func (l *Line) takeSex() {
	m := sexWord.FindStringSubmatchIndex(l.Name)
	if m == nil {
		return
	}
	switch word := strings.ToLower(l.Name[m[2]:m[3]]); {
	case strings.HasPrefix(word, "female"), word == "♀", word == "(f)":
		l.Sex = species.Female
	default:
		l.Sex = species.Male
	}
	bare := strings.Trim(strings.TrimSpace(l.Name[:m[2]])+" "+strings.TrimSpace(l.Name[m[3]:]), " (),")
	l.Bare = strings.TrimSpace(bare)
}
