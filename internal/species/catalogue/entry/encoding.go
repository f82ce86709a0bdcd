package entry

import (
	"bytes"
	"fmt"
	"unicode/utf8"
)

// ByteOrderMark may stand at the start of a text; it is dropped.
const ByteOrderMark = "\xef\xbb\xbf"

// IsText checks that a file is UTF-8 of at most a number of bytes.
func (r *Reader) IsText(data []byte, most int) bool {
	switch {
	case len(data) > most:
		r.FailAt(1, "", fmt.Sprintf("the file is larger than %d MiB", most>>20))
	case !utf8.Valid(data):
		r.FailAt(1+bytes.Count(data[:validPrefix(data)], []byte{'\n'}), "", "the text is not UTF-8")
	default:
		return true
	}
	return false
}

// validPrefix is the length of the longest prefix of data that is UTF-8.
func validPrefix(data []byte) int {
	n := 0
	for n < len(data) {
		c, size := utf8.DecodeRune(data[n:])
		if c == utf8.RuneError && size <= 1 {
			break
		}
		n += size
	}
	return n
}
