package verify

import "commensal/internal/species"

// checked looks whether the marks of agreement still mean something. A mark whose value has
// changed since counts for nothing; it is shown so that somebody compares again.
func (e entryVerifier) checked() {
	type place struct{ source, field string }
	seen := make(map[place]bool, len(e.s.Checked))
	for _, m := range e.s.Checked {
		_, isListed := e.sources[m.Source]
		switch {
		case !species.IsMarkField(m.Field):
			e.fault("checked", "%q is neither a trait nor a water parameter", m.Field)
		case !isListed:
			e.fault("checked", "source %q is not in the list of sources", m.Source)
		case seen[place{m.Source, m.Field}]:
			e.fault("checked", "%s stands twice for %s", m.Source, m.Field)
		case !e.s.Holds(m):
			now, _ := e.s.ValueText(m.Field)
			e.review("checked", "%s of %s was compared with %s and is now %s: the mark no longer counts; compare again, or take it out",
				m.Field, m.Value, m.Source, orAbsent(now))
		}
		seen[place{m.Source, m.Field}] = true
		if isListed {
			e.sources[m.Source] = true
		}
	}
}

func orAbsent(value string) string {
	if value == "" {
		return "absent"
	}
	return value
}
