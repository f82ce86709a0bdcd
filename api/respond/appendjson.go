package respond

import (
	"encoding/json"
	"math"
	"strconv"
	"unicode/utf8"
)

// asIs are the bytes that stand in JSON as they are, wherever they do.
var asIs = func() (table [256]bool) {
	for c := ' '; c < utf8.RuneSelf; c++ {
		table[c] = c != '"' && c != '\\' && c != '<' && c != '>' && c != '&'
	}
	return table
}()

// AppendText appends a text as encoding/json writes it.
func AppendText[T ~string](b []byte, text T) []byte { return appendText(b, string(text)) }

// AppendBytes is [AppendText] of a text that is in bytes.
func AppendBytes(b, text []byte) []byte {
	for _, c := range text {
		if !asIs[c] && c != '&' {
			return appendText(b, string(text))
		}
	}
	b = append(b, '"')
	for _, c := range text {
		if c == '&' {
			b = append(b, `\u0026`...)
			continue
		}
		b = append(b, c)
	}
	return append(b, '"')
}

func appendText(b []byte, s string) []byte {
	for i := range len(s) {
		if !asIs[s[i]] {
			return appendWide(b, s, i)
		}
	}
	b = append(b, '"')
	b = append(b, s...)
	return append(b, '"')
}

// appendWide appends a text whose bytes from the i-th on are not all as they are: mostly there is a degree sign or a dash, in an
// address an ampersand.
func appendWide(b []byte, s string, i int) []byte {
	if !utf8.ValidString(s) {
		return appendValue(b, s)
	}
	begin, from := len(b), 0
	b = append(b, '"')
	for ; i < len(s); i++ {
		switch c := s[i]; {
		case asIs[c]:
		case c == '&' || c == '<' || c == '>':
			b = append(append(b, s[from:i]...), `\u00`...)
			b = append(b, hexDigits[c>>4], hexDigits[c&15])
			from = i + 1
		case c < utf8.RuneSelf || c == 0xe2 && s[i+1] == 0x80 && s[i+2]&^1 == 0xa8: // U+2028 or U+2029
			return appendValue(b[:begin], s)
		}
	}
	return append(append(b, s[from:]...), '"')
}

const hexDigits = "0123456789abcdef"

// AppendNumber appends a number as encoding/json writes it; it has to be finite.
func AppendNumber(b []byte, x float64) []byte {
	if thousandths := math.Round(x * 1000); thousandths/1000 == x && math.Abs(thousandths) < 1e15 && x != 0 {
		return appendThousandths(b, int64(thousandths))
	}
	if size := math.Abs(x); x != 0 && (size < 1e-6 || size >= 1e21) {
		return appendValue(b, x)
	}
	return strconv.AppendFloat(b, x, 'f', -1, 64)
}

// appendThousandths appends n/1000 with no more digits than it needs. Two numbers of at most 15 digits are never the same
// float64, so these are also the fewest that tell it from all others.
func appendThousandths(b []byte, n int64) []byte {
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	b = strconv.AppendInt(b, n/1000, 10)
	rest := n % 1000
	if rest == 0 {
		return b
	}
	b = append(b, '.', byte('0'+rest/100), byte('0'+rest/10%10), byte('0'+rest%10))
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	return b
}

// appendValue appends what needs more care.
func appendValue(b []byte, value any) []byte {
	text, err := json.Marshal(value)
	if err != nil { // only a number that is not finite: there is none in an answer
		return append(b, "null"...)
	}
	return append(b, text...)
}
