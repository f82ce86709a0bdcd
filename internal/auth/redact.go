package auth

import (
	"regexp"
	"strings"
)

// keyLike is what might be a key, or a part of one: also mistyped, cut off or in capitals.
var keyLike = regexp.MustCompile(`(?i)cmsl_[a-z0-9_]+`)

// Redact masks every text that might be a key, all but its public id, so that what people
// put into a path, a header or a name by mistake stands in no log.
func Redact(text string) string {
	if !mayHoldKey(text) {
		return text
	}
	return keyLike.ReplaceAllStringFunc(text, func(found string) string {
		id, secret, _ := strings.Cut(found[len(prefix):], "_")
		switch {
		case secret == "" && len(id) <= idLength:
			return found // an id, which is no secret
		case len(id) == idLength:
			return found[:len(prefix)+idLength+1] + "(hidden)"
		}
		return found[:len(prefix)] + "(hidden)"
	})
}

// mayHoldKey is a quick no for the texts that hold none, nearly all.
func mayHoldKey(text string) bool {
	for rest := text; ; {
		at := strings.IndexByte(rest, '_')
		if at < 0 {
			return false
		}
		if at >= len(prefix)-1 && strings.EqualFold(rest[at-len(prefix)+1:at+1], prefix) {
			return true
		}
		rest = rest[at+1:]
	}
}
