package records

import (
	"context"

	"github.com/google/uuid"
)

// MaxExports is how many exports run at the same time.
const MaxExports = maxExports

// Occupy takes the place of as many exports as there may be, of organizations of their own, and
// returns what frees one of them.
func (s *Records) Occupy() (freeOne func()) {
	for range maxExports {
		_, freeOne, _ = s.exports.begin(context.Background(), uuid.New())
	}
	return freeOne
}
