package units

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// guard rejects what no parser should look at: overlong input, broken UTF-8,
// control characters and blanks.
func guard(input string) error {
	if len(input) > MaxInput {
		return parseError(TooLong, input, "the input is too long",
			"write at most "+strconv.Itoa(MaxInput)+" bytes")
	}
	if !utf8.ValidString(input) {
		return parseError(NotText, input, "the input is not valid UTF-8", "send plain text")
	}
	if strings.ContainsFunc(input, unicode.IsControl) {
		return parseError(NotText, input, "the input has a control character in it", "send plain text on one line")
	}
	if strings.TrimSpace(input) == "" {
		return parseError(Empty, input, "there is nothing in it", "write a number and a unit")
	}
	return nil
}

// number splits off the plain decimal number in front of text: digits, and
// optionally a point and more digits. Input is the whole input, for the error.
func number(input, text string) (x float64, rest string, _ *ParseError) {
	whole := digits(text)
	if whole == 0 {
		return 0, "", notANumber(input, text)
	}
	end := whole
	if end < len(text) && text[end] == '.' {
		fraction := digits(text[end+1:])
		if fraction == 0 {
			return 0, "", parseError(NotANumber, input, "there are no digits after the decimal point", "write 12 or 12.0")
		}
		end += 1 + fraction
	}
	rest = text[end:]
	if err := afterNumber(input, text[:end], rest); err != nil {
		return 0, "", err
	}
	x, err := strconv.ParseFloat(text[:end], 64)
	if err != nil { // cannot happen within MaxInput digits; kept so that a change there stays safe
		return 0, "", parseError(NotANumber, input, "the number cannot be read", "write fewer digits")
	}
	return x, rest, nil
}

// digits counts the ASCII digits in front of text.
func digits(text string) int {
	n := 0
	for n < len(text) && '0' <= text[n] && text[n] <= '9' {
		n++
	}
	return n
}

// notANumber says why text does not start with a digit.
func notANumber(input, text string) *ParseError {
	first, _ := utf8.DecodeRuneInString(text)
	switch first {
	case '-', '+', '−', '–':
		return parseError(Signed, input, "a sign is not allowed", "write the number without a sign")
	case '.':
		return parseError(NotANumber, input, "there are no digits before the decimal point", "write 0.5, not .5")
	case ',':
		return commaError(input)
	}
	return parseError(NotANumber, input, "it does not start with a number",
		"write plain decimal digits first, then the unit")
}

// afterNumber catches the number formats that are not accepted, by what follows
// the plain digits.
func afterNumber(input, num, rest string) *ParseError {
	if rest == "" {
		return nil
	}
	after := strings.TrimSpace(rest)
	switch c := rest[0]; {
	case c == ',':
		return commaError(input)
	case c == '.':
		return parseError(NotANumber, input, "the number has more than one decimal point", "write digits with one point, as in 12.5")
	case (c == 'x' || c == 'X') && num == "0":
		return parseError(Hexadecimal, input, "hexadecimal numbers are not accepted", "write plain decimal digits")
	case (c == 'e' || c == 'E') && digits(strings.TrimLeft(rest[1:], "+-")) > 0:
		return parseError(Exponent, input, "exponents are not accepted", "write the digits out, as in 1200")
	case digits(after) > 0:
		return parseError(NotANumber, input, "there is more than one number", "write one number without spaces in it")
	}
	return nil
}

func commaError(input string) *ParseError {
	return parseError(Comma, input, "the number has a comma in it",
		"use a point for decimals, as in 12.5, and no thousands separators")
}
