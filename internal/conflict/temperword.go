package conflict

// AggressionWord is the word for a grade of aggression, 0 to 1: mild below 0.3,
// territorial from 0.3, aggressive from 0.5, relentless from 0.8. The grades are
// common practice, no source.
func AggressionWord(grade float64) WordCode { return aggressionWord(grade) }
