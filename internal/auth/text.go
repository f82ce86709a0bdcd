package auth

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base32"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"strings"
)

// Lengths of the parts of a key's text, in characters.
const (
	prefix         = "cmsl_"
	idLength       = 16 // 80 bits
	secretLength   = 32 // 160 bits
	checksumLength = 7  // 32 bits
	textLength     = len(prefix) + idLength + 1 + secretLength + checksumLength
)

// ErrMalformed says that a text is no key at all: another shape, or a slip in it that
// the checksum shows.
var ErrMalformed = errors.New("auth: not a key")

var encoding = base32.NewEncoding("abcdefghijklmnopqrstuvwxyz234567").WithPadding(base32.NoPadding)

// Hash is the SHA-256 of a key's whole text.
type Hash [sha256.Size]byte

// NewText makes the text of a new key.
func NewText() (text, id string, hash Hash) {
	var raw [(idLength + secretLength) * 5 / 8]byte
	_, _ = rand.Read(raw[:]) // never fails: the program ends where there is no randomness
	random := encoding.EncodeToString(raw[:])
	id = random[:idLength]
	body := prefix + id + "_" + random[idLength:]
	text = body + checksum(body)
	return text, id, sha256.Sum256([]byte(text))
}

// ParseText takes a key's text apart, or returns [ErrMalformed].
func ParseText(text string) (id string, hash Hash, err error) {
	body := len(text) - checksumLength
	if len(text) != textLength || !strings.HasPrefix(text, prefix) || text[len(prefix)+idLength] != '_' ||
		checksum(text[:body]) != text[body:] {
		return "", Hash{}, ErrMalformed
	}
	return text[len(prefix) : len(prefix)+idLength], sha256.Sum256([]byte(text)), nil
}

func checksum(body string) string {
	var sum [4]byte
	binary.BigEndian.PutUint32(sum[:], crc32.ChecksumIEEE([]byte(body)))
	return encoding.EncodeToString(sum[:])
}
