package conflict_test

import (
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// quiet are the statements that say that a factor adds nothing or next to nothing.
var quiet = map[conflict.Code]bool{
	conflict.SizeSafe: true, conflict.SizeOwnKind: true, conflict.TemperPeaceful: true,
	conflict.FeedingFine: true, conflict.BreedingNone: true, conflict.BreedingRatio: true,
}

// loud are the statements that promise harm.
var loud = map[conflict.Code]bool{
	conflict.SizeSwallows: true, conflict.SizePicks: true, conflict.SizeCrushes: true, conflict.SizeClaws: true,
	conflict.TemperRivals: true, conflict.TemperNips: true, conflict.FeedingOutpaced: true,
}

// Over a sample of all pairs of the catalogue a sentence says what its share says, in sign and
// size: what says that nothing happens stands on hardly any share, what promises harm on a share
// worth the word, and the main reason is that of the largest share, or of one half as large that is
// seen first.
func TestSentencesAgreeWithTheirShares(t *testing.T) {
	b := realBook(t)
	w := conflict.English(false)
	n := b.Snapshot.Len()
	for i := range n {
		for j := i % 7; j < n; j += 7 {
			p := b.Model.Explain(b.Profile(i), b.Profile(j), nil)
			pair := string(b.Snapshot.At(i).ID) + " with " + string(b.Snapshot.At(j).ID)
			sum, largest := 0.0, conflict.SizeRatio
			for k, f := range p.Factors {
				sum += f.Share
				if f.Share > p.Factors[largest].Share {
					largest = conflict.Factor(k)
				}
				said := w.Sentence(f.Statement)
				if quiet[f.Statement.Code] && f.Share > 3 || loud[f.Statement.Code] && f.Share < 3 {
					t.Fatalf("%s: %q on a share of %.1f of %.1f", pair, said, f.Share, p.Score.Value)
				}
				if strings.ContainsAny(said, "{}") {
					t.Fatalf("%s: incomplete %q", pair, said)
				}
			}
			if d := sum - p.Score.Value; d > 1e-6 || d < -1e-6 {
				t.Fatalf("%s: shares sum to %v, score %v", pair, sum, p.Score.Value)
			}
			if got := factorOf(p.Score.Reason); p.Score.Level > conflict.Low && !leads(p.Factors[got].Share, p.Factors[largest].Share) &&
				!(p.Score.Reason == conflict.Aggression && largest == conflict.Breeding) {
				t.Fatalf("%s: main reason %v with a share of %.1f, largest share %v with %.1f", pair, p.Score.Reason, p.Factors[got].Share, largest, p.Factors[largest].Share)
			}
		}
	}
}

// leads reports whether a factor may be the main reason beside the largest share: what acts less
// for want of meeting or of crowding keeps its share, and eating and torn fins are named before
// what is up to twice as much.
func leads(share, largest float64) bool { return share >= largest/3 }

// factorOf is the factor that a reason belongs to.
func factorOf(r conflict.Reason) conflict.Factor {
	return [conflict.NumReasons]conflict.Factor{
		conflict.Predation: conflict.SizeRatio, conflict.Aggression: conflict.Temperament, conflict.FinNipping: conflict.Temperament,
		conflict.Water: conflict.WaterRange, conflict.FeedingClash: conflict.Feeding, conflict.OwnKind: conflict.Temperament,
		conflict.Hybridisation: conflict.Breeding, conflict.Room: conflict.Space,
	}[r]
}

// Snails and shrimps have no fins: nothing is said of theirs.
func TestNothingNipsTheFinsOfAnInvertebrate(t *testing.T) {
	b := realBook(t)
	w := conflict.English(false)
	for i := range b.Snapshot.Len() {
		if b.Snapshot.At(i).Traits[species.FinNipping].Typical < 0.3 {
			continue
		}
		for j := range b.Snapshot.Len() {
			if !b.Snapshot.At(j).BodyForm.Invertebrate() {
				continue
			}
			p := b.Model.Explain(b.Profile(i), b.Profile(j), nil)
			for _, s := range []conflict.Statement{p.Summary, p.Factors[conflict.Temperament].Statement} {
				if said := w.Sentence(s); s.Other != nil && s.Other.BodyForm.Invertebrate() && (strings.Contains(said, " fins of ") || strings.Contains(said, "nip fins") || strings.Contains(said, "long fins")) {
					t.Fatal(said)
				}
			}
		}
	}
}
