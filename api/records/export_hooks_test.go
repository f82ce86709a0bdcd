package records

// MaxExports is how many exports run at the same time.
const MaxExports = maxExports

// Occupy takes the place of as many exports as there may be, and returns what frees one of them.
func (s *Records) Occupy() (freeOne func()) {
	for range maxExports {
		s.exports <- struct{}{}
	}
	return func() { <-s.exports }
}
