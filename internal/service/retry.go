package service

import (
	"time"

	"github.com/cenkalti/backoff/v5"
)

// forever lets a retry end with its context alone.
var forever = backoff.WithMaxElapsedTime(0)

// growing are waits that double from the first to the longest, each up to a quarter shorter or
// longer, so that replicas do not all come at once.
func growing(first, longest time.Duration) backoff.RetryOption {
	return backoff.WithBackOff(&backoff.ExponentialBackOff{InitialInterval: first, MaxInterval: longest, Multiplier: 2, RandomizationFactor: 0.25})
}
