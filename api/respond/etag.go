package respond

import (
	"crypto/sha256"
	"encoding/binary"
	"strings"
)

// digest hashes the parts, each text with its length before it.
func digest(version, model string, revision int64, canonical string) [sha256.Size]byte {
	text := make([]byte, 0, 256)
	text = binary.BigEndian.AppendUint64(text, uint64(revision))
	for _, part := range [...]string{version, model, canonical} {
		text = binary.AppendUvarint(text, uint64(len(part)))
		text = append(text, part...)
	}
	return sha256.Sum256(text)
}

// matchesTag applies If-None-Match (RFC 9110 §13.1.2): any of the listed tags, weakly
// compared, or "*".
func matchesTag(fields []string, tag string) bool { return anyTag(fields, tag, true) }

// MatchesStrongly applies If-Match (§13.1.1): weak tags match nothing.
func MatchesStrongly(fields []string, tag string) bool { return anyTag(fields, tag, false) }

func anyTag(fields []string, tag string, weakly bool) bool {
	for _, field := range fields {
		for field != "" {
			item := strings.TrimLeft(field, " \t,")
			if strings.HasPrefix(item, "*") {
				return true
			}
			item, weak := strings.CutPrefix(item, "W/")
			if !strings.HasPrefix(item, `"`) {
				break // not an entity tag: what follows cannot be read
			}
			end := strings.IndexByte(item[1:], '"')
			if end < 0 {
				break
			}
			if item[:end+2] == tag && (weakly || !weak) {
				return true
			}
			field = item[end+2:]
		}
	}
	return false
}
