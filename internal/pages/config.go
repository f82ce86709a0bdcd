package pages

import (
	"time"

	"commensal/internal/conflict"
)

// Config is what the pages need.
type Config struct {
	// Book is the catalogue and the model that answers come from; it may give nil while
	// the first catalogue is being loaded. Required.
	Book func() *conflict.Book
	// Contract is the text of openapi.yaml, for /docs. Required.
	Contract []byte
	// PublicURL is how people reach the pages, for example "https://fish.example"; where it
	// is empty, links outside say what the request says.
	PublicURL string
	// Now tells the date on a slip; time.Now where it is nil.
	Now func() time.Time
	// CacheBytes bounds the answers kept in memory; 0 is DefaultCacheBytes.
	CacheBytes int
}

// DefaultCacheBytes keeps a few thousand pages and pictures.
const DefaultCacheBytes = 32 << 20

func (c Config) withDefaults() Config {
	if c.Now == nil {
		c.Now = time.Now
	}
	if c.CacheBytes <= 0 {
		c.CacheBytes = DefaultCacheBytes
	}
	return c
}
