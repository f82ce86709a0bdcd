package stocking

import "commensal/internal/conflict"

// JudgeAhead is [Judge] and [Foresee] together, at the cost of judging once.
func JudgeAhead(book *conflict.Book, s Stock) (Check, Outlook, error) {
	if err := s.Validate(book); err != nil {
		return Check{}, Outlook{}, err
	}
	j := prepare(book, &s)
	j.judgeFully()
	return j.check(), j.outlook(), nil
}
