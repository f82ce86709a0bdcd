package species_test

import (
	"errors"
	"testing"

	"commensal/internal/species"
)

// fish makes an entry with English names; more is set by the options.
func fish(scientificName string, english []string, options ...func(*species.Species)) *species.Species {
	s := &species.Species{ID: species.MakeID(scientificName, ""), ScientificName: scientificName}
	for _, n := range english {
		s.Names = append(s.Names, species.Name{Language: "en", Text: n})
	}
	for _, o := range options {
		o(s)
	}
	return s
}

func synonyms(names ...string) func(*species.Species) {
	return func(s *species.Species) { s.Synonyms = names }
}

func german(names ...string) func(*species.Species) {
	return func(s *species.Species) {
		for _, n := range names {
			s.Names = append(s.Names, species.Name{Language: "de", Text: n})
		}
	}
}

func formOf(parent species.ID, form string) func(*species.Species) {
	return func(s *species.Species) {
		s.FormOf, s.Form = parent, form
		s.ID = species.MakeID(s.ScientificName, form)
	}
}

func en(names ...string) []string { return names }

// smallCatalogue has one of each difficulty.
func smallCatalogue() species.Catalogue {
	return species.Catalogue{
		Species: []*species.Species{
			fish("Poecilia reticulata", en("Guppy", "Millionfish"), synonyms("Lebistes reticulatus")),
			fish("Astronotus ocellatus", en("Oscar", "Tiger oscar"), synonyms("Acara ocellata"), german("Pfauenaugenbuntbarsch")),
			fish("Carassius auratus", en("Goldfish"), synonyms("Cyprinus auratus"), german("Goldfisch")),
			fish("Carassius auratus", en("Fancy goldfish", "Fantail"), synonyms("Cyprinus auratus"), formOf("carassius-auratus", "fancy")),
			fish("Osteogaster aenea", en("Bronze cory"), synonyms("Corydoras aeneus")),
			fish("Hoplisoma panda", en("Panda cory"), synonyms("Corydoras panda")),
			fish("Corydoras julii", en("Julii cory", "Cory")),
			fish("Hemichromis bimaculatus", en("African jewel cichlid", "Jewel cichlid")),
			fish("Hemichromis lifalili", en("Blood-red jewel cichlid", "Jewel cichlid")),
			fish("Hemichromis elongatus", en("Banded jewel cichlid")),
			fish("Melanotaenia boesemani", en("Boeseman's rainbowfish"), german("Boesemans Regenbogenfisch")),
			fish("Betta splendens", en("Siamese fighting fish", "Betta"), german("Siamesischer Kampffisch")),
			fish("Betta imbellis", en("Peaceful betta", "Crescent betta"), german("Friedlicher Kampffisch")),
			fish("Paracheirodon axelrodi", en("Cardinal tetra"), synonyms("Cheirodon axelrodi"), german("Roter Neon")),
			fish("Paracheirodon innesi", en("Neon tetra", "Neon"), synonyms("Hyphessobrycon innesi"), german("Neonsalmler")),
			fish("Sahyadria denisonii", en("Denison barb"), synonyms("Puntius denisonii"), german("Rotstreifenbarbe")),
			fish("Pterophyllum scalare", en("Angelfish"), german("Segelflosser", "Großer Segelflosser")),
			fish("Ancistrus cirrhosus", en("Bristlenose pleco"), german("Blauer Antennenwels")),
			fish("Panaqolus maccus", en("Clown pleco")),
			fish("Scleropages formosus", en("Asian arowana"), german("Gabelbart"), synonyms("Osteoglossum formosum")),
		},
		Words: []species.GroupWord{
			{Word: "pleco", Candidates: []species.ID{"panaqolus-maccus", "ancistrus-cirrhosus"}},
			{Word: "cory", Candidates: []species.ID{"osteogaster-aenea", "hoplisoma-panda"}},
		},
		Sources: []species.Source{{Key: "b", Citation: "second"}, {Key: "a", Citation: "first"}},
	}
}

func snapshotOf(t testing.TB, c species.Catalogue) *species.Snapshot {
	t.Helper()
	s, err := species.NewSnapshot(7, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// outcome is what a name resolved to, in comparable form: one id for a match, all
// candidates for an ambiguous name, none for an unknown or bad one.
type outcome struct {
	kind string
	ids  string
}

func resolveOutcome(t testing.TB, s *species.Snapshot, name string) outcome {
	t.Helper()
	m, err := s.Resolve(name)
	var ambiguous *species.AmbiguousNameError
	var unknown *species.UnknownNameError
	var bad *species.BadNameError
	switch {
	case err == nil:
		return outcome{"match", string(m.Species.ID)}
	case errors.As(err, &ambiguous):
		return outcome{"ambiguous", joinIDs(ambiguous.Candidates)}
	case errors.As(err, &unknown):
		return outcome{"unknown", ""}
	case errors.As(err, &bad):
		return outcome{"bad", ""}
	}
	t.Fatalf("%q gave an error of type %T", name, err)
	return outcome{}
}

func joinIDs(candidates []species.Candidate) string {
	out := ""
	for i, c := range candidates {
		if i > 0 {
			out += " "
		}
		out += string(c.ID)
	}
	return out
}
