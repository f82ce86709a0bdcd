package verify

import "commensal/internal/species/catalogue/entry"

// vocabulary checks the words of an entry against the ones the format allows.
func (e entryVerifier) vocabulary() {
	s := e.s
	checkOne(e, "body_form", entry.BodyForms, s.BodyForm, SeverityError)
	checkOne(e, "guild", entry.Guilds, s.Guild, SeverityError)
	checkOne(e, "social", entry.Socials, s.Social, SeverityError)
	checkOne(e, "shape", entry.Shapes, s.Shape, SeverityReview)
	checkOne(e, "feeds_by", entry.Feedings, s.FeedsBy, mayBeAbsent)
	checkOne(e, "active", entry.ActiveHours, s.Active, mayBeAbsent)
	checkOne(e, "availability", entry.Availabilities, s.Available, mayBeAbsent)
	if len(s.Colours) == 0 {
		e.review("colours", "missing: nothing tells which fish look alike")
	}
	checkAll(e, "colours", entry.Colours, s.Colours)
	checkAll(e, "needs", entry.Needs, s.Needs)
	checkAll(e, "cautions", entry.Cautions, s.Cautions)
	for _, n := range s.Names {
		if !entry.IsLanguage(n.Language) {
			e.fault("names", "%q is not a language tag such as en or zh-Hans", n.Language)
		}
	}
}

// mayBeAbsent is the severity of what need not be known.
const mayBeAbsent Severity = ""

// checkOne checks a word; an absent one is a problem of the given severity.
func checkOne[T ~string](e entryVerifier, field string, list []T, word T, absent Severity) {
	switch {
	case word == "" && absent == mayBeAbsent:
	case word == "":
		e.add(absent, e.s.ID, field, "missing")
	case !entry.Allowed(list, word):
		e.fault(field, "%q is none of: %s", word, entry.Listed(list))
	}
}

func checkAll[T ~string](e entryVerifier, field string, list, given []T) {
	for _, word := range given {
		if !entry.Allowed(list, word) {
			e.fault(field, "%q is none of: %s", word, entry.Listed(list))
		}
	}
}
