package catalogue

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// yamlWords are the words of letters that the YAML reader takes for something else
// than text.
var yamlWords = map[string]bool{
	"true": true, "True": true, "TRUE": true, "false": true, "False": true, "FALSE": true,
	"null": true, "Null": true, "NULL": true,
}

// isPlainWords reports whether a scalar without quotes is text beyond doubt: it
// begins with a letter and has none of the marks that mean something to YAML.
func isPlainWords(text string, inList bool) bool {
	if text == "" || yamlWords[text] {
		return false
	}
	if first, _ := utf8.DecodeRuneInString(text); !unicode.IsLetter(first) {
		return false
	}
	if inList {
		return !strings.ContainsAny(text, ":,[]{}#?")
	}
	return noColonEnds(text)
}

// isValueLine reports whether a scalar is numbers with blanks between them and then
// words: the line of a trait. With a word in it, it is no number or time to YAML.
func isValueLine(text string) bool {
	number, rest, found := strings.Cut(text, " ")
	if !found || strings.Trim(number, "0123456789.") != "" || number == "" {
		return false
	}
	word := false
	for i := range len(rest) {
		c := rest[i]
		switch {
		case 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z':
			word = true
		case '0' <= c && c <= '9', strings.IndexByte(" ./:_-", c) >= 0:
		default:
			return false
		}
	}
	return word && noColonEnds(rest)
}

// noColonEnds reports whether no word of the text ends in a colon, which would make
// a key of it.
func noColonEnds(text string) bool {
	return !strings.Contains(text, ": ") && !strings.HasSuffix(text, ":")
}

// quoteEnd is where the closing quote stands, below 0 when there is none or something
// else than a quote has an escape.
func quoteEnd(text string, quote byte) (end int, escaped bool) {
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == quote:
			return i, escaped
		case text[i] == '\\' && quote == '"' && strings.HasPrefix(text[i:], `\"`):
			escaped = true
			i++
		case text[i] == '\\':
			return -1, false
		}
	}
	return -1, false
}

// plainEnd is where a scalar without quotes ends: before a comment, and in a list
// before the mark behind an item.
func plainEnd(text string, inList bool) int {
	end := len(text)
	if i := strings.Index(text, " #"); i >= 0 {
		end = i
	}
	if inList {
		if i := strings.IndexAny(text[:end], ",]"); i >= 0 {
			end = i
		}
	}
	return end
}
