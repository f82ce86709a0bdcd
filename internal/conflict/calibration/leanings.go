package calibration

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// A Leaning is a trait value that the judgements would have otherwise: where they agree on a
// kind against the model, its trait may be wrong and not the model. It is a question to
// somebody who knows the fish, never an answer.
type Leaning struct {
	Species  *species.Species
	Property string // a trait's key, or that of a water parameter, whose whole range is moved
	From, To float64
	Gain     float64 // what moving it back would cost, in squared levels over its pairs
	Pairs    int     // judged pairs of the kind
}

// property is what can lean: how a shift in units of its spread changes a species.
type property struct {
	key    string
	spread float64 // what catalogued values are usually off by: one standard deviation
	value  func(*species.Species) float64
	move   func(sp *species.Species, by float64)
}

// graded is a trait on a scale from 0 to 1; spread in grades.
func graded(t species.Trait, spread float64) property {
	return property{t.Info().Key, spread, typicalOf(t), func(sp *species.Species, by float64) {
		for _, set := range []*species.TraitSet{&sp.Traits, &sp.MaleTraits, &sp.FemaleTraits} {
			if v := &set[t]; v.Known() {
				v.Typical = min(1, max(0, v.Typical+by*spread))
			}
		}
	}}
}

// scaled is a trait that is off by a factor; spread in ln.
func scaled(t species.Trait, spread float64) property {
	return property{t.Info().Key, spread, typicalOf(t), func(sp *species.Species, by float64) {
		for _, set := range []*species.TraitSet{&sp.Traits, &sp.MaleTraits, &sp.FemaleTraits} {
			if v := &set[t]; v.Known() {
				v.Typical *= math.Exp(by * spread)
			}
		}
	}}
}

func typicalOf(t species.Trait) func(*species.Species) float64 {
	return func(sp *species.Species) float64 { return sp.Traits[t].Typical }
}

// ranged is a water parameter whose preferred and tolerated ranges move together.
func ranged(w species.Parameter, spread float64) property {
	return property{w.Info().Key, spread, func(sp *species.Species) float64 {
		return (sp.Water[w].Preferred.Low + sp.Water[w].Preferred.High) / 2
	}, func(sp *species.Species, by float64) {
		r := &sp.Water[w]
		for _, v := range []*float64{&r.Preferred.Low, &r.Preferred.High, &r.Tolerated.Low, &r.Tolerated.High} {
			*v += by * spread
		}
	}}
}

// properties are the graded judgements of the catalogue, and what of its measures varies with
// who tells it; lengths, fins and armour are facts.
var properties = []property{
	graded(species.AggressionOthers, 0.12), graded(species.AggressionOwn, 0.15), graded(species.AggressionAlike, 0.15),
	graded(species.FinNipping, 0.12), graded(species.Timidity, 0.12), graded(species.Slowness, 0.1),
	graded(species.Piscivory, 0.12), scaled(species.PreyLimit, 0.2), graded(species.FeedingPace, 0.12),
	ranged(species.Temperature, 1), ranged(species.PH, 0.3),
}

// restraint is the cost of a shift of one spread, in squared levels: about the variance of
// one judgement, so that one pair alone hardly moves a value.
const restraint = 0.2

// reach and stride bound and step a shift, in spreads.
const reach, stride = 2.5, 0.25

// leaner searches the shifts.
type leaner struct {
	p     Panel
	m     *conflict.Model
	of    map[*species.Species][]int // its pairs
	order []*species.Species
	shift map[*species.Species][]float64
	now   map[*species.Species]*conflict.Profile
}

func newLeaner(p Panel, w conflict.Weights) (*leaner, error) {
	m, err := conflict.New(w)
	if err != nil {
		return nil, err
	}
	l := &leaner{p, m, map[*species.Species][]int{}, nil, map[*species.Species][]float64{}, map[*species.Species]*conflict.Profile{}}
	for i := range p {
		for _, sp := range []*species.Species{p[i].A, p[i].B} {
			if l.of[sp] == nil {
				l.order = append(l.order, sp)
				l.shift[sp] = make([]float64, len(properties))
				l.now[sp] = m.TypicalProfile(sp, conflict.Individual{})
			}
			if n := l.of[sp]; len(n) == 0 || n[len(n)-1] != i {
				l.of[sp] = append(n, i)
			}
		}
	}
	return l, nil
}

// moved is the profile of a species under shifts.
func (l *leaner) moved(sp *species.Species, shift []float64) *conflict.Profile {
	other := *sp
	for k, by := range shift {
		if by != 0 {
			properties[k].move(&other, by)
		}
	}
	return l.m.TypicalProfile(&other, conflict.Individual{})
}

// cost is what the judged pairs of a species say of a profile of it.
func (l *leaner) cost(sp *species.Species, prof *conflict.Profile) (sum float64) {
	for _, i := range l.of[sp] {
		sum += l.pair(i, sp, prof)
	}
	return sum
}

// pair is the cost of a pair with one of its species under another profile.
func (l *leaner) pair(i int, sp *species.Species, prof *conflict.Profile) float64 {
	j := &l.p[i]
	causes := l.causes(j, sp, prof)
	sum := offLevel(at(causes.Value), j)
	if j.Level > conflict.Low && j.Reason != conflict.NoReason {
		miss := 1 - chance(j, &causes)
		sum += reasonCost * miss * miss
	}
	return sum
}

func (l *leaner) causes(j *Judgement, sp *species.Species, prof *conflict.Profile) conflict.Causes {
	a, b := l.now[j.A], l.now[j.B]
	if j.A == sp {
		a = prof
	}
	if j.B == sp {
		b = prof
	}
	c := conflict.ConditionsFor(a, b, nil)
	return l.m.CausesOf(a, b, &c)
}

// round moves every property of every species to where its pairs cost least.
func (l *leaner) round() {
	for _, sp := range l.order {
		shift := l.shift[sp]
		for k := range properties {
			best, least := shift[k], math.Inf(1)
			for by := -reach; by <= reach; by += stride {
				shift[k] = by
				if c := l.cost(sp, l.moved(sp, shift)) + restraint*by*by; c < least-1e-9 {
					best, least = by, c
				}
			}
			shift[k] = best
		}
		l.now[sp] = l.moved(sp, shift)
	}
}

// leaningRounds settle shifts of kinds that are judged together.
const leaningRounds = 3

// Leanings are the values that the ordinary pairs of the panel would have otherwise, the
// greatest gain first.
func (p Panel) Leanings(w conflict.Weights) ([]Leaning, error) {
	l, err := newLeaner(p.Ordinary(), w)
	if err != nil {
		return nil, err
	}
	for range leaningRounds {
		l.round()
	}
	var out []Leaning
	for _, sp := range l.order {
		shift := l.shift[sp]
		full := l.cost(sp, l.now[sp])
		for k, by := range shift {
			if by == 0 {
				continue
			}
			shift[k] = 0
			gain := l.cost(sp, l.moved(sp, shift)) - full - restraint*by*by
			shift[k] = by
			other := *sp
			properties[k].move(&other, by)
			out = append(out, Leaning{sp, properties[k].key, properties[k].value(sp), properties[k].value(&other), gain, len(l.of[sp])})
		}
	}
	slices.SortStableFunc(out, func(a, b Leaning) int { return cmp.Compare(b.Gain, a.Gain) })
	return out, nil
}

// LeaningsHold tells whether leanings say something of pairs that they have not seen: kappa
// of a fifth of the pairs, drawn at random, without and with the leanings of the rest.
func (p Panel) LeaningsHold(w conflict.Weights) (without, with float64, err error) {
	ordinary := p.Ordinary()
	rng := rand.New(rand.NewPCG(3, 1))
	order := rng.Perm(len(ordinary))
	var before, after Confusion
	for fold := range Groups {
		var seen, unseen Panel
		for n, i := range order {
			if n%Groups == fold {
				unseen = append(unseen, ordinary[i])
			} else {
				seen = append(seen, ordinary[i])
			}
		}
		l, err := newLeaner(seen, w)
		if err != nil {
			return 0, 0, err
		}
		plain, err := unseen.Scores(w)
		if err != nil {
			return 0, 0, err
		}
		for range leaningRounds {
			l.round()
		}
		for i := range unseen {
			j := &unseen[i]
			for _, sp := range []*species.Species{j.A, j.B} {
				if l.now[sp] == nil {
					l.now[sp] = l.m.TypicalProfile(sp, conflict.Individual{})
				}
			}
			before.Add(j.Level, conflict.LevelOf(plain[i]))
			causes := l.causes(j, nil, nil)
			after.Add(j.Level, conflict.LevelOf(causes.Value))
		}
	}
	return before.Kappa(), after.Kappa(), nil
}

// WriteLeanings writes leanings as CSV.
func WriteLeanings(w io.Writer, leanings []Leaning) error {
	out := csv.NewWriter(w)
	_ = out.Write([]string{"species", "form", "property", "from", "to", "gain", "pairs"})
	for _, l := range leanings {
		_ = out.Write([]string{l.Species.ScientificName, l.Species.Form, l.Property, short(l.From), short(l.To), short(l.Gain), strconv.Itoa(l.Pairs)})
	}
	out.Flush()
	return out.Error()
}

func short(v float64) string { return fmt.Sprintf("%.3g", v) }

// WritePairs writes every pair with its score in held, how many levels off that is, and the
// hazards by reason, as CSV: what to read when looking for what pairs have in common.
func WritePairs(w io.Writer, p Panel, held Held) error {
	out := csv.NewWriter(w)
	header := []string{"id", "a", "b", "judged", "low", "high", "judged_reason", "who", "score", "off"}
	for r := range conflict.Reason(conflict.NumReasons) {
		header = append(header, r.String())
	}
	_ = out.Write(append(header, "harm_ab", "harm_ba"))
	for i := range p {
		j, c := &p[i], &held.Causes[i]
		row := []string{j.ID, name(j.A), name(j.B), j.Level.String(), j.Low.String(), j.High.String(), j.Reason.String(), j.Direction.String(),
			short(c.Value), short(at(c.Value) - float64(j.Level))}
		for _, h := range c.By {
			row = append(row, short(h))
		}
		_ = out.Write(append(row, short(c.Harm[0]), short(c.Harm[1])))
	}
	out.Flush()
	return out.Error()
}

func name(sp *species.Species) string {
	if sp.Form == "" {
		return sp.ScientificName
	}
	return sp.ScientificName + " " + sp.Form
}
