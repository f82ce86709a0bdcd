package pictures

import (
	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
	"commensal/internal/pages/words"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"os"
	"testing"
)

func desk(t testing.TB) *answers.Desk {
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		t.Fatal(err)
	}
	s, err := species.NewSnapshot(1, c)
	if err != nil {
		t.Fatal(err)
	}
	m, _ := conflict.Default()
	return answers.NewDesk(conflict.NewBook(m, s))
}
func TestDraw(t *testing.T) {
	d := desk(t)
	w := words.English()
	os.MkdirAll("/tmp/brief/pages", 0o755)
	save := func(n string, s *Scene) {
		os.WriteFile("/tmp/brief/pages/"+n+".svg", s.SVG(), 0o644)
		b, err := s.PNG(2)
		if err != nil {
			t.Fatal(err)
		}
		os.WriteFile("/tmp/brief/pages/"+n+".png", b, 0o644)
		t.Log(n, len(s.SVG()), len(b))
	}
	q := links.Pair{First: "astronotus-ocellatus", Second: "paracheirodon-innesi"}
	p, _ := d.Pair(q)
	save("sizes", Sizes(w, &p, 300))
	save("water", Water(w, p.Scales, 300, ""))
	save("why", Why(w, &p, 300))
	save("harm", Harm(w, &p, 300))
	save("space", Space(w, &p.Tank, 300))
	save("growth", Growth(w, d.PairGrowth(q), 300))
	q = links.Pair{First: "betta-splendens", Second: "poecilia-reticulata"}
	p, _ = d.Pair(q)
	save("harm2", Harm(w, &p, 300))
	l, e := d.List(links.List{Residents: []links.Line{{Name: "astronotus-ocellatus", Count: 2}, {Name: "paracheirodon-innesi", Count: 10}, {Name: "betta-splendens", Count: 1}, {Name: "ancistrus-cirrhosus", Count: 1}, {Name: "neocaridina-davidi", Count: 10}}, Tank: links.Tank{VolumeL: 300}})
	if e != nil {
		t.Fatal(e)
	}
	save("tank", Tank(w, &l, 300))
	c := Card{Verdict: "No", Sentence: "Oscar of 32 cm eats neon tetra of 3.5 cm.", Kinds: "1 oscar with 10 neon tetras, 150 × 60 × 60 cm", Level: "Severe conflict, 97 of 100", Picture: Sizes(w, &p, 268), Change: "No change of tank helps enough: keep them apart.", Guidance: "Guidance, not a guarantee.", More: "Why, and how sure: example.org/pairings/a/b"}
	save("card", c.Upright(480))
	save("preview", c.Preview())
	save("why2", Why(w, &p, 560))
}
func TestZoo(t *testing.T) {
	s := &Scene{W: 400, H: 760}
	i := 0
	for _, f := range []string{"fusiform", "short_deep", "elongated", "eel_like", "shrimp", "crayfish", "crab", "snail", "clam"} {
		y := 60 + float64(i)*80
		ratio := map[string]float64{"fusiform": .25, "short_deep": .45, "elongated": .18, "eel_like": .1, "shrimp": .25, "crayfish": .3, "crab": .8, "snail": .8, "clam": .7}[f]
		L := 160.0
		if ratio > .5 {
			L = 80
		}
		b := answers.Body{Form: f, LengthCM: 10}
		s.animal(&b, placing{x: 20, y: y, length: L, depth: L * ratio}, Ink)
		s.animal(&b, placing{x: 260, y: y, length: L / 3, depth: L / 3 * ratio, left: true}, Ink)
		i++
	}
	b, _ := s.PNG(1.5)
	os.WriteFile("/tmp/brief/pages/zoo.png", b, 0o644)
}
func BenchmarkPNG(b *testing.B) {
	d := desk(b)
	w := words.English()
	q := links.Pair{First: "astronotus-ocellatus", Second: "paracheirodon-innesi"}
	p, _ := d.Pair(q)
	s := Water(w, p.Scales, 600, "")
	s.H = 315
	for b.Loop() {
		s.PNG(2)
	}
}
func BenchmarkSVG(b *testing.B) {
	d := desk(b)
	w := words.English()
	q := links.Pair{First: "astronotus-ocellatus", Second: "paracheirodon-innesi"}
	p, _ := d.Pair(q)
	for b.Loop() {
		Water(w, p.Scales, 300, "").SVG()
	}
}
