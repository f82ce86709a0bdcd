package catalogue

// vocabulary checks the words of an entry against the ones the format allows.
func (e entryVerifier) vocabulary() {
	s := e.s
	checkOne(e, "body_form", bodyForms, s.BodyForm, SeverityError)
	checkOne(e, "guild", guilds, s.Guild, SeverityError)
	checkOne(e, "social", socials, s.Social, SeverityError)
	checkOne(e, "shape", shapes, s.Shape, SeverityReview)
	if len(s.Colours) == 0 {
		e.review("colours", "missing: nothing tells which fish look alike")
	}
	checkAll(e, "colours", colours, s.Colours)
	checkAll(e, "needs", needs, s.Needs)
	checkAll(e, "cautions", cautions, s.Cautions)
	for _, n := range s.Names {
		if !isLanguage(n.Language) {
			e.fault("names", "%q is not a language tag such as en or zh-Hans", n.Language)
		}
	}
}

// checkOne checks a word; an absent one is a problem of the given severity.
func checkOne[T ~string](e entryVerifier, field string, list []T, word T, absent Severity) {
	switch {
	case word == "":
		e.add(absent, e.s.ID, field, "missing")
	case !allowed(list, word):
		e.fault(field, "%q is none of: %s", word, listed(list))
	}
}

func checkAll[T ~string](e entryVerifier, field string, list, given []T) {
	for _, word := range given {
		if !allowed(list, word) {
			e.fault(field, "%q is none of: %s", word, listed(list))
		}
	}
}
