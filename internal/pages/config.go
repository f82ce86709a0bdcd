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
	// Problems are the pages about types of problems, which /docs lists; they are not of this
	// package.
	Problems []Link
	// CacheBytes bounds the answers kept in memory; 0 keeps none.
	CacheBytes int64
}

func (c Config) withDefaults() Config {
	if c.Now == nil {
		c.Now = time.Now
	}
	return c
}
