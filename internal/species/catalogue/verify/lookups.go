package verify

import "commensal/internal/species"

// lookups makes sure of what a catalogue without errors promises: it can be
// indexed, and every name in it leads to its entry, or is a declared word with the
// entry among its candidates. The snapshot itself is asked, whose notion of equal
// names is a little wider than the one that finds who shares a name.
func (v *verifier) lookups() {
	if HasErrors(v.problems) {
		return
	}
	snapshot, err := species.NewSnapshot(0, v.catalogue)
	if err != nil {
		v.add(SeverityError, "", "species", "the catalogue cannot be indexed: %v", err)
		return
	}
	declared := v.declared()
	for _, s := range v.catalogue.Species {
		for _, kind := range []nameKind{accepted, synonym, vernacular} {
			for _, c := range v.claimsOf(s, kind) {
				if _, isWord := declared[fold(c.text)]; isWord {
					continue // its candidates are checked with the names
				}
				if m, err := snapshot.Resolve(c.text); err != nil || m.Species.ID != s.ID {
					v.add(SeverityError, s.ID, string(kind), "%q does not lead to this entry: %s", c.text, outcome(m, err))
				}
			}
		}
	}
}

func outcome(m species.Match, err error) string {
	if err != nil {
		return err.Error()
	}
	return "it leads to " + string(m.Species.ID)
}
