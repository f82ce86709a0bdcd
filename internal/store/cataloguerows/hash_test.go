package cataloguerows

import (
	"encoding/hex"
	"testing"

	"commensal/internal/species"
)

func TestTheContentHashSeesEveryField(t *testing.T) {
	t.Parallel()
	base := func() species.Catalogue {
		return species.Catalogue{Species: []*species.Species{{ID: "a-b"}, {ID: "a-c"}}, Words: []species.GroupWord{{Word: "w"}}, Sources: []species.Source{{Key: "k"}}}
	}
	value := species.Value{Band: species.Band{Low: 1, Typical: 2, High: 3}, Basis: species.Memory}
	changes := map[string]func(*species.Catalogue){
		"nothing":             func(*species.Catalogue) {},
		"id":                  func(c *species.Catalogue) { c.Species[0].ID = "x" },
		"scientific name":     func(c *species.Catalogue) { c.Species[0].ScientificName = "x" },
		"family":              func(c *species.Catalogue) { c.Species[0].Family = "x" },
		"form of":             func(c *species.Catalogue) { c.Species[0].FormOf = "x" },
		"form":                func(c *species.Catalogue) { c.Species[0].Form = "x" },
		"name":                func(c *species.Catalogue) { c.Species[0].Names = []species.Name{{Language: "en", Text: "x"}} },
		"name's language":     func(c *species.Catalogue) { c.Species[0].Names = []species.Name{{Language: "de", Text: "x"}} },
		"synonym":             func(c *species.Catalogue) { c.Species[0].Synonyms = []string{"x"} },
		"body form":           func(c *species.Catalogue) { c.Species[0].BodyForm = "x" },
		"guild":               func(c *species.Catalogue) { c.Species[0].Guild = "x" },
		"way of feeding":      func(c *species.Catalogue) { c.Species[0].FeedsBy = "x" },
		"hours":               func(c *species.Catalogue) { c.Species[0].Active = "x" },
		"availability":        func(c *species.Catalogue) { c.Species[0].Available = "x" },
		"social":              func(c *species.Catalogue) { c.Species[0].Social = "x" },
		"shape":               func(c *species.Catalogue) { c.Species[0].Shape = "x" },
		"colour":              func(c *species.Catalogue) { c.Species[0].Colours = []string{"x"} },
		"two colours":         func(c *species.Catalogue) { c.Species[0].Colours = []string{"x", "y"} },
		"two colours swapped": func(c *species.Catalogue) { c.Species[0].Colours = []string{"y", "x"} },
		"two colours joined":  func(c *species.Catalogue) { c.Species[0].Colours = []string{"xy"} },
		"hybrid":              func(c *species.Catalogue) { c.Species[0].Hybridises = []string{"x"} },
		"sexed":               func(c *species.Catalogue) { c.Species[0].SexedTrade = true },
		"sold as male":        func(c *species.Catalogue) { c.Species[0].SoldAs = species.Male },
		"need":                func(c *species.Catalogue) { c.Species[0].Needs = []string{"x"} },
		"caution":             func(c *species.Catalogue) { c.Species[0].Cautions = []species.Caution{"x"} },
		"legal note":          func(c *species.Catalogue) { c.Species[0].LegalNote = "x" },
		"note":                func(c *species.Catalogue) { c.Species[0].Note = "x" },
		"basis":               func(c *species.Catalogue) { c.Species[0].Basis = "x" },
		"review":              func(c *species.Catalogue) { c.Species[0].Reviewed = []species.Review{{Field: "x", Reason: "y"}} },
		"mark": func(c *species.Catalogue) {
			c.Species[0].Checked = []species.Mark{{Source: "k", Field: "length", Value: "1 2 3"}}
		},
		"mark's source": func(c *species.Catalogue) {
			c.Species[0].Checked = []species.Mark{{Source: "l", Field: "length", Value: "1 2 3"}}
		},
		"mark's value": func(c *species.Catalogue) {
			c.Species[0].Checked = []species.Mark{{Source: "k", Field: "length", Value: "1 2 4"}}
		},
		"review's reason": func(c *species.Catalogue) { c.Species[0].Reviewed = []species.Review{{Field: "x", Reason: "z"}} },
		"review's field":  func(c *species.Catalogue) { c.Species[0].Reviewed = []species.Review{{Field: "y", Reason: "y"}} },
		"trait":           func(c *species.Catalogue) { c.Species[0].Traits[0] = value },
		"another trait":   func(c *species.Catalogue) { c.Species[0].Traits[1] = value },
		"male trait":      func(c *species.Catalogue) { c.Species[0].MaleTraits[0] = value },
		"female trait":    func(c *species.Catalogue) { c.Species[0].FemaleTraits[0] = value },
		"trait's basis":   func(c *species.Catalogue) { v := value; v.Basis = "source:k"; c.Species[0].Traits[0] = v },
		"trait's typical": func(c *species.Catalogue) { v := value; v.Typical = 2.5; c.Species[0].Traits[0] = v },
		"water":           func(c *species.Catalogue) { c.Species[0].Water[1].Basis = species.Memory },
		"water's range": func(c *species.Catalogue) {
			c.Species[0].Water[1] = species.WaterRange{Tolerated: species.Range{High: 1}, Basis: species.Memory}
		},
		"preferred range": func(c *species.Catalogue) {
			c.Species[0].Water[1] = species.WaterRange{Preferred: species.Range{High: 1}, Basis: species.Memory}
		},
		"zones":         func(c *species.Catalogue) { c.Species[0].Zones.Basis = species.Memory },
		"feeding zones": func(c *species.Catalogue) { c.Species[0].FeedingZones.Basis = species.Memory },
		"zone's share": func(c *species.Catalogue) {
			c.Species[0].Zones = species.ZoneUse{Share: [3]float64{0, 1, 0}, Basis: species.Memory}
		},
		"the other entry": func(c *species.Catalogue) { c.Species[1].Note = "x" },
		"order":           func(c *species.Catalogue) { c.Species[0], c.Species[1] = c.Species[1], c.Species[0] },
		"word":            func(c *species.Catalogue) { c.Words[0].Word = "x" },
		"candidate":       func(c *species.Catalogue) { c.Words[0].Candidates = []species.ID{"a-b"} },
		"key":             func(c *species.Catalogue) { c.Sources[0].Key = "x" },
		"citation":        func(c *species.Catalogue) { c.Sources[0].Citation = "x" },
	}
	seen := map[[32]byte]string{}
	for name, change := range changes {
		c := base()
		change(&c)
		h := Hash(c)
		if other, clash := seen[h]; clash {
			t.Errorf("%q and %q have the same hash", name, other)
		}
		seen[h] = name
		if h != Hash(c) {
			t.Errorf("%q: the hash is not stable", name)
		}
	}
}

func TestTheContentHashIsTheSameInEveryBuild(t *testing.T) {
	t.Parallel()
	c := species.Catalogue{Species: []*species.Species{{ID: "a-b", ScientificName: "A b", Basis: species.Memory}}}
	c.Species[0].Traits[species.Length] = species.Value{Band: species.Band{Low: 1, Typical: 2, High: 3}, Basis: species.Memory}
	first := Hash(c)
	c.Species[0].Traits[species.Length].Low = 0
	zero := Hash(c)
	c.Species[0].Traits[species.Length].Low *= -1 // minus zero
	if Hash(c) != zero {
		t.Error("minus zero changes the hash")
	}
	const want = "81437c1a5c006393fdca4e480b753e397ffa5976f46e3dd2dfa2a97dc77a4eec"
	if got := hex.EncodeToString(first[:]); got != want {
		t.Errorf("got %s, want %s: every database would take the same catalogue for a new one", got, want)
	}
}
