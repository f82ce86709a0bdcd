package species_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"commensal/internal/species"
)

// generated makes n species with invented names: a scientific name, a synonym and
// two vernacular names each, always the same ones.
func generated(n int) species.Catalogue {
	random := rand.New(rand.NewPCG(1, 2))
	syllables := strings.Fields("ba ca da fo gi hy lo me no pa ra ri sa ta tho ve xi zu chro cich lab pter sto tra")
	word := func(from, to int, ending string) string {
		var b strings.Builder
		for range from + random.IntN(to-from+1) {
			b.WriteString(syllables[random.IntN(len(syllables))])
		}
		return b.String() + ending
	}
	kinds := strings.Fields("tetra barb cichlid catfish loach gourami rasbora killifish goby puffer")
	var c species.Catalogue
	for i := range n {
		genus, epithet := word(2, 3, "us"), word(2, 3, "i")
		kind := kinds[random.IntN(len(kinds))]
		c.Species = append(c.Species, fish(fmt.Sprintf("%s %s%d", genus, epithet, i),
			en(word(1, 2, "")+" "+word(1, 2, "")+" "+kind, word(2, 3, "y")+" "+kind),
			synonyms(word(2, 3, "a")+" "+epithet)))
	}
	return c
}

func BenchmarkResolve(b *testing.B) {
	c := generated(10_000)
	s := snapshotOf(b, c)
	middle := c.Species[5000]
	name := middle.ScientificName
	for _, bench := range []struct{ name, in string }{
		{"id", string(middle.ID)},
		{"scientific name", name},
		{"normal form", strings.ToLower(name)},
		{"vernacular with a diacritic", strings.Replace(middle.Names[0].Text, "a", "á", 1)},
		{"scientific name with author", name + " (Smith, 1900)"},
		{"miss with near matches", name[:4] + name[5:]},
		{"long miss", strings.Repeat(middle.Names[0].Text+" ", 6)},
	} {
		b.Run(bench.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, _ = s.Resolve(bench.in)
			}
		})
	}
}

func BenchmarkSearch(b *testing.B) {
	s := snapshotOf(b, generated(10_000))
	for _, q := range []string{"b", "tetra", "cichlo tet", "xithochro"} {
		b.Run(q, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				s.Search(q, 20)
			}
		})
	}
}

func BenchmarkNewSnapshot(b *testing.B) {
	for _, n := range []int{500, 10_000} {
		c := generated(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := species.NewSnapshot(1, c); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func TestAnExactHitDoesNotAllocate(t *testing.T) {
	s := snapshotOf(t, smallCatalogue())
	for _, name := range []string{"astronotus-ocellatus", "Astronotus ocellatus", "oscar", "Boeseman's rainbowfish"} {
		if n := testing.AllocsPerRun(100, func() { _, _ = s.Resolve(name) }); n != 0 {
			t.Errorf("%q takes %v allocations", name, n)
		}
	}
}
