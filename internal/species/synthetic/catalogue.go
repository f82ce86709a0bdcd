package synthetic

import (
	"math"
	"math/rand/v2"

	"commensal/internal/species"
)

// Catalogue makes n species from a seed, and a trade word for each kind of fish that
// several of them are. The same arguments always give the same catalogue, and a
// longer one begins with the entries of a shorter one. Names are unique and so are
// ids. A negative n counts as 0.
func Catalogue(seed uint64, n int) species.Catalogue {
	g := &generator{rand.New(rand.NewPCG(seed, 0x66697368)), make(map[string]sizes)}
	var c species.Catalogue
	for i := range max(n, 0) {
		c.Species = append(c.Species, g.entry(i))
	}
	c.Words = groupWords(c.Species)
	return c
}

// groupWords declares the noun of each kind that several entries are ("shoaler",
// "lurker") as a word.
func groupWords(list []*species.Species) []species.GroupWord {
	var out []species.GroupWord
	for k := range kinds {
		var w species.GroupWord
		for i := k; i < len(list); i += len(kinds) {
			w.Candidates = append(w.Candidates, list[i].ID)
		}
		if len(w.Candidates) > 1 {
			w.Word = kinds[k].noun
			out = append(out, w)
		}
	}
	return out
}

// generator draws values.
type generator struct {
	*rand.Rand
	genera map[string]sizes
}

// sizes are what the species of a genus have in common: length and territory in cm.
type sizes struct{ length, ground float64 }

// between draws evenly from a range.
func (g *generator) between(r span) float64 { return r.low + g.Float64()*(r.high-r.low) }

// spread draws evenly from a range on a logarithmic scale.
func (g *generator) spread(r span) float64 {
	return r.low * math.Pow(r.high/r.low, g.Float64())
}

// entry makes the i-th species; the kinds take turns.
func (g *generator) entry(i int) *species.Species {
	k := &kinds[i%len(kinds)]
	name := scientificName(i)
	s := &species.Species{
		ID: species.MakeID(name, ""), ScientificName: name, Family: k.family,
		Names: []species.Name{
			{Language: "en", Text: title(epithet(i)) + " " + k.noun},
			{Language: "de", Text: title(epithet(i)) + k.german},
		},
		BodyForm: k.form, Guild: k.guild, FeedsBy: k.feeds, Active: k.active, Social: k.social, Shape: k.shape,
		Colours: g.pick(palette, 2), SexedTrade: k.sexed, Available: usual[i%len(usual)],
		Needs: g.pick(wants, 1+g.IntN(2)), Basis: species.Memory,
	}
	if g.IntN(3) == 0 {
		s.Hybridises = []string{s.Genus()}
	}
	g.traits(s, k)
	g.water(s, &habitats[g.IntN(len(habitats))])
	s.Zones = zoneUse(k.zones)
	s.FeedingZones = zoneUse(k.zones)
	cautions(s)
	return s
}

// usual are the availabilities, which take turns.
var usual = [...]species.Availability{species.EveryShop, species.ManyShops, species.Specialist, species.RareSeller, ""}

// pick draws n different words of a list.
func (g *generator) pick(list []string, n int) []string {
	out := make([]string, 0, n)
	for _, i := range g.Perm(len(list))[:n] {
		out = append(out, list[i])
	}
	return out
}

func zoneUse(share [3]float64) species.ZoneUse {
	return species.ZoneUse{Share: share, Basis: species.Memory}
}

// round rounds to a number of decimals.
func round(x float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	return math.Round(x*scale) / scale
}
