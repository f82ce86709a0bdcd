// Package auth knows API keys: their text, what they permit, and how to find out whose
// one is without asking the database at every request.
//
// A key is cmsl_<id>_<secret><checksum>. The id is public, the secret has 160 random
// bits, and the checksum lets a leak scanner tell a key from a chance match:
//
//	cmsl_[a-z2-7]{16}_[a-z2-7]{39}
//
// where the last 7 characters are the CRC-32 (IEEE) of all that stands before them, in
// base32 (RFC 4648) in lower case without padding. The text is shown once and kept
// nowhere; what is kept is its SHA-256. A slow hash would guard a guessable secret, and
// this one is not.
package auth
