package store

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
)

// smallAnswer is up to how many bytes an answer is stored as it is: compressing less saves
// nothing.
const smallAnswer = 1 << 10

// gzipped begins what is compressed. No answer begins so: they are JSON.
var gzipped = []byte{0x1f, 0x8b}

// shrunk is an answer as it is stored: larger ones take a tenth.
func shrunk(body []byte) []byte {
	if len(body) <= smallAnswer {
		return body
	}
	var out bytes.Buffer
	w, _ := gzip.NewWriterLevel(&out, gzip.BestSpeed) // fails only for a level that is none
	_, _ = w.Write(body)                              // into memory: cannot fail
	_ = w.Close()
	return out.Bytes()
}

// grown is an answer as it was.
func grown(stored []byte) ([]byte, error) {
	if !bytes.HasPrefix(stored, gzipped) {
		return stored, nil
	}
	r, err := gzip.NewReader(bytes.NewReader(stored))
	if err != nil {
		return nil, fmt.Errorf("store: a stored answer: %w", err)
	}
	body, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("store: a stored answer: %w", err)
	}
	return body, nil
}
