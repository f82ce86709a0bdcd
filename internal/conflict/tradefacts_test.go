package conflict_test

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
)

// realBook is the built-in catalogue under the fitted weights.
func realBook(t testing.TB) *conflict.Book {
	t.Helper()
	cat, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	snap, err := species.NewSnapshot(1, cat)
	if err != nil {
		t.Fatal(err)
	}
	m, err := conflict.Default()
	if err != nil {
		t.Fatal(err)
	}
	return conflict.NewBook(m, snap)
}

func judge(t testing.TB, b *conflict.Book, first, second string, tank *conflict.Tank) conflict.Pairing {
	t.Helper()
	var p [2]*conflict.Profile
	for i, name := range []string{first, second} {
		m, err := b.Snapshot.Resolve(name)
		if err != nil {
			t.Fatal(err)
		}
		p[i] = b.Profile(m.Index)
	}
	return b.Model.Explain(p[0], p[1], tank)
}

// furnished is a tank of 180 × 60 × 60 cm with plenty of cover, at 26 °C.
func furnished() *conflict.Tank {
	t := &conflict.Tank{LengthCM: 180, WidthCM: 60, HeightCM: 60, Cover: 0.85, CoverKnown: true}
	t.Reading[species.Temperature] = conflict.Reading{Value: 26, Known: true}
	return t
}

// Facts of the trade: common practice, no source.
func TestTheModelKnowsTheFactsOfTheTrade(t *testing.T) {
	b := realBook(t)
	for _, c := range []fact{
		{"a large bold cichlid can share a big, broken-up tank with an equal", "Rocio octofasciata", "Astronotus ocellatus", furnished(), conflict.Low, conflict.Moderate},
		{"and with large armoured catfish", "Rocio octofasciata", "Pterygoplichthys pardalis", furnished(), conflict.Low, conflict.Moderate},
		{"milder cichlids with it are a case for caution", "Rocio octofasciata", "Heros efasciatus", furnished(), conflict.Moderate, conflict.High},
		{"sifters too", "Rocio octofasciata", "Geophagus surinamensis", furnished(), conflict.Moderate, conflict.High},
		{"small tetras are food for it", "Rocio octofasciata", "Paracheirodon innesi", furnished(), conflict.Severe, conflict.Severe},
		{"small rasboras are food for it", "Rocio octofasciata", "Trigonostigma heteromorpha", furnished(), conflict.Severe, conflict.Severe},
		{"livebearers are food for it", "Rocio octofasciata", "Poecilia reticulata", furnished(), conflict.Severe, conflict.Severe},
		{"small catfish and small tetras are the classic community", "Hoplisoma panda", "Paracheirodon innesi", nil, conflict.Low, conflict.Low},
		{"bristlenoses go with nearly everything peaceful", "Ancistrus cirrhosus", "Melanotaenia praecox", nil, conflict.Low, conflict.Low},
		{"two male fighters kill each other", "Betta splendens", "Betta splendens", nil, conflict.Severe, conflict.Severe},
		{"nippers do not go with trailing fins", "Puntigrus tetrazona", "Pterophyllum scalare", nil, conflict.High, conflict.Severe},
		{"a keen predator empties the tank of small fish", "Cichla ocellaris", "Danio rerio", nil, conflict.Severe, conflict.Severe},
		{"brackish and soft-water fish cannot share water", "Scatophagus argus", "Paracheirodon axelrodi", nil, conflict.Severe, conflict.Severe},
		{"an electric catfish is kept alone", "Malapterurus electricus", "Synodontis eupterus", nil, conflict.Severe, conflict.Severe},
		{"coldwater goldfish and tropical discus want different water", "Carassius auratus", "Symphysodon aequifasciatus", nil, conflict.High, conflict.Severe},
	} {
		c.check(t, b)
	}
}

// fact is one thing that keepers agree on.
type fact struct {
	fact            string
	first, second   string
	tank            *conflict.Tank
	atLeast, atMost conflict.Level
}

func (c fact) check(t *testing.T, b *conflict.Book) {
	t.Helper()
	p := judge(t, b, c.first, c.second, c.tank)
	if p.Score.Level < c.atLeast || p.Score.Level > c.atMost {
		t.Errorf("%s: %s with %s is %v (%.1f), want %v to %v: %v", c.fact, c.first, c.second,
			p.Score.Level, p.Score.Value, c.atLeast, c.atMost, conflict.English(false).Summary(&p))
	}
}

// The levels by their short names, for long tables.
const low, moderate, high, severe = conflict.Low, conflict.Moderate, conflict.High, conflict.Severe

func checkFacts(t *testing.T, facts []fact) {
	t.Helper()
	b := realBook(t)
	for _, c := range facts {
		c.check(t, b)
	}
}

// Facts of the trade about invertebrates: common practice, no source.
func TestTheModelKnowsTheFactsOfShrimpsSnailsAndClaws(t *testing.T) {
	b := realBook(t)
	for _, c := range []fact{
		{"a crayfish takes sleeping bottom fish", "Procambarus clarkii", "Osteogaster aenea", nil, conflict.High, conflict.Severe},
		{"all the more the naked ones", "Procambarus clarkii", "Pangio kuhlii", nil, conflict.Severe, conflict.Severe},
		{"and small fish that rest among plants", "Procambarus clarkii", "Paracheirodon innesi", nil, conflict.High, conflict.Severe},
		{"two kinds of large crayfish kill each other", "Procambarus clarkii", "Procambarus alleni", nil, conflict.Severe, conflict.Severe},
		{"a crayfish cuts the veils of fancy goldfish", "Procambarus clarkii", "carassius auratus fancy", nil, conflict.High, conflict.Severe},
		{"a crayfish eats dwarf shrimps", "Procambarus clarkii", "Neocaridina davidi", nil, conflict.Severe, conflict.Severe},
		{"a large armoured catfish can be kept from a crayfish", "Procambarus clarkii", "Pterygoplichthys pardalis", nil, conflict.Low, conflict.Moderate},
		{"a dwarf crayfish lives with small tetras", "Cambarellus patzcuarensis", "Paracheirodon innesi", nil, conflict.Low, conflict.Low},
		{"and picks off young shrimps", "Cambarellus patzcuarensis", "Neocaridina davidi", nil, conflict.Moderate, conflict.High},
		{"otocinclus are the safest fish for dwarf shrimps", "Neocaridina davidi", "Otocinclus vittatus", nil, conflict.Low, conflict.Low},
		{"neons leave grown dwarf shrimps alone", "Neocaridina davidi", "Paracheirodon innesi", nil, conflict.Low, conflict.Low},
		{"so do small catfish", "Neocaridina davidi", "Hoplisoma panda", nil, conflict.Low, conflict.Low},
		{"dwarf cichlids hunt dwarf shrimps", "Neocaridina davidi", "Mikrogeophagus ramirezi", nil, conflict.Moderate, conflict.Severe},
		{"all the more the larger ones", "Neocaridina davidi", "Apistogramma cacatuoides", nil, conflict.High, conflict.Severe},
		{"angelfish empty a tank of dwarf shrimps", "Neocaridina davidi", "Pterophyllum scalare", nil, conflict.High, conflict.Severe},
		{"discus too", "Neocaridina davidi", "Symphysodon aequifasciatus", nil, conflict.High, conflict.Severe},
		{"a fighter may or may not hunt dwarf shrimps", "Neocaridina davidi", "Betta splendens", nil, conflict.Moderate, conflict.High},
		{"a pea puffer does", "Neocaridina davidi", "Carinotetraodon travancoricus", nil, conflict.High, conflict.Severe},
		{"grown amano shrimps go with tetras", "Caridina multidentata", "Paracheirodon innesi", nil, conflict.Low, conflict.Low},
		{"and with rasboras", "Caridina multidentata", "Trigonostigma heteromorpha", nil, conflict.Low, conflict.Low},
		{"an oscar eats amano shrimps", "Caridina multidentata", "Astronotus ocellatus", nil, conflict.Severe, conflict.Severe},
		{"filter shrimps are community animals", "Atyopsis moluccensis", "Paracheirodon innesi", nil, conflict.Low, conflict.Low},
		{"assassin snails eat other snails", "Anentome helena", "Planorbella duryi", nil, conflict.High, conflict.Severe},
		{"also those much larger", "Anentome helena", "Pomacea diffusa", nil, conflict.High, conflict.Severe},
		{"but leave grown shrimps alone", "Anentome helena", "Neocaridina davidi", nil, conflict.Low, conflict.Low},
		{"a puffer lives on snails", "Carinotetraodon travancoricus", "Planorbella duryi", nil, conflict.Severe, conflict.Severe},
		{"of any size", "Dichotomyctere nigroviridis", "Pomacea diffusa", nil, conflict.Severe, conflict.Severe},
		{"clown loaches suck snails out of their shells", "Chromobotia macracanthus", "Neritina natalensis", nil, conflict.High, conflict.Severe},
		{"nerites go with livebearers", "Neritina natalensis", "Poecilia reticulata", nil, conflict.Low, conflict.Low},
		{"nerites are left alone by angelfish", "Neritina natalensis", "Pterophyllum scalare", nil, conflict.Low, conflict.Low},
		{"snails do nothing to shrimps", "Pomacea diffusa", "Neocaridina davidi", nil, conflict.Low, conflict.Low},
		{"a brackish crab and soft-water fish share no water", "Leptuca pugilator", "Paracheirodon innesi", nil, conflict.Severe, conflict.Severe},
		{"a red claw crab catches livebearers", "Parasesarma bidens", "Poecilia reticulata", nil, conflict.High, conflict.Severe},
		{"micro crabs harm nobody", "Limnopilos naiyanetri", "Neocaridina davidi", nil, conflict.Low, conflict.Low},
		{"warm alkaline and soft cool shrimps want different water", "Caridina dennerli", "Caridina logemanni", nil, conflict.High, conflict.Severe},
		{"related dwarf shrimps cross", "Caridina logemanni", "Caridina mariae", nil, conflict.Moderate, conflict.Moderate},
	} {
		c.check(t, b)
	}
}

func TestABareSmallTankIsWorseThanALargeOneWithSightBreaks(t *testing.T) {
	b := realBook(t)
	bare := &conflict.Tank{LengthCM: 120, WidthCM: 40, HeightCM: 50, Cover: 0, CoverKnown: true}
	for _, other := range []string{"Astronotus ocellatus", "Heros efasciatus", "Amatitlania nigrofasciata"} {
		small := judge(t, b, "Rocio octofasciata", other, bare)
		large := judge(t, b, "Rocio octofasciata", other, furnished())
		if small.Score.Value <= large.Score.Value {
			t.Errorf("%s: bare and small %.1f, large and broken up %.1f", other, small.Score.Value, large.Score.Value)
		}
	}
}

func TestEveryPairOfTheCatalogueIsExplainedWithinBounds(t *testing.T) {
	b := realBook(t)
	w := conflict.English(false)
	for i := range b.Snapshot.Len() {
		for j := range b.Snapshot.Len() {
			p := b.Model.Explain(b.Profile(i), b.Profile(j), nil)
			s := p.Score
			if !(s.Band[0] <= s.Value && s.Value <= s.Band[1] && s.Band[0] >= 0 && s.Band[1] <= 100) {
				t.Fatalf("%s with %s: score %v, band %v", b.Snapshot.At(i).ID, b.Snapshot.At(j).ID, s.Value, s.Band)
			}
			if text := w.Summary(&p); len([]rune(text)) > conflict.SummaryLimit {
				t.Fatalf("summary too long: %q", text)
			}
		}
	}
}
