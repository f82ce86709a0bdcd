package answers

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/pages/links"
	"commensal/internal/species"
	"commensal/internal/units"
)

// Pairing is two kinds judged against each other.
type Pairing struct {
	Asked  links.Pair // with ids
	Kinds  [2]Kind
	Counts [2]int // as told, else the customary group
	Bodies [2]Body

	Level     string // "low", "moderate", "high" or "severe"
	Sentence  string // what decides, as one sentence
	Score     float64
	Low, High float64 // the band of the score
	Reason    string  // the main reason's key, "none" where there is none
	Harm      [2]float64

	Factors  []Factor // in the order of the model; the shares sum to the score
	Scales   []Scale
	RuledOut string // the parameter without a common value, or empty
	Tank     Tank
	Remedies []Remedy
	Cautions []Caution
	Missing  []string // traits the catalogue lacks
}

// Factor is one factor's part of the score, in points to a tenth.
type Factor struct {
	Key, Sentence string
	Share         float64
}

// Tank is what a pairing was judged in.
type Tank struct {
	LengthCM, WidthCM, HeightCM float64
	Reference                   bool // the customary minimum, not the keeper's tank
	Cover                       float64
	ReferenceCover              bool
	Readings                    int // of four
	// NeededLengthCM and NeededWidthCM are the customary minimum for both.
	NeededLengthCM, NeededWidthCM float64
}

// VolumeL is the inside volume in litres.
func (t *Tank) VolumeL() float64 { return t.LengthCM * t.WidthCM * t.HeightCM / 1000 }

// Remedy is a change that brings a pairing to a lower level.
type Remedy struct {
	Code, Sentence, Level string
	Score                 float64
	Asked                 *links.Pair // the question with the change made; nil where none can be asked
}

// Caution is a danger that must be said beside an answer.
type Caution struct {
	Code, Text string
	Kind       *Kind // nil for the tank or the answer itself
}

// Pair judges a pairing whose names are ids; ok is false when one is not.
func (d *Desk) Pair(q links.Pair) (out Pairing, ok bool) {
	p, ok := d.explain(&q)
	if !ok {
		return Pairing{}, false
	}
	w := words(q.US)
	out = Pairing{
		Asked: q, Kinds: [2]Kind{kindOf(p.First.Species), kindOf(p.Second.Species)},
		Counts: [2]int{heads(p.First), heads(p.Second)},
		Bodies: [2]Body{bodyOf(p.First), bodyOf(p.Second)},
		Level:  p.Score.Level.String(), Sentence: w.Short(p.Summary, conflict.SummaryLimit),
		Score: tenths(p.Score.Value), Low: tenths(p.Score.Band[0]), High: tenths(p.Score.Band[1]),
		Reason: p.Score.Reason.String(), Harm: p.Score.Harm,
		Factors: factors(&p, w), Remedies: remediesOf(&p, &q, w), Cautions: cautions(p.Cautions),
	}
	out.Tank = tankOf(&p)
	out.Scales = scales(distinct(p.First.Species, p.Second.Species), windows(p.First.Species, p.Second.Species, &p), p.Conditions.Reading)
	if !p.SharedOK {
		out.RuledOut = p.RuledOut.String()
	}
	for _, m := range p.Missing {
		out.Missing = append(out.Missing, m.Trait)
	}
	return out, true
}

func (d *Desk) explain(q *links.Pair) (p conflict.Pairing, ok bool) {
	i, first := d.book.Snapshot.Index(species.ID(q.First))
	j, second := d.book.Snapshot.Index(species.ID(q.Second))
	if !first || !second {
		return p, false
	}
	tank := pairTank(&q.Tank)
	return d.book.Model.Explain(d.book.For(i, individual(q.Fish[0])), d.book.For(j, individual(q.Fish[1])), &tank), true
}

func individual(f links.Fish) conflict.Individual {
	return conflict.Individual{Count: f.Count, Sex: f.Sex, LengthCM: f.LengthCM}
}

func pairTank(t *links.Tank) conflict.Tank {
	out := conflict.Tank{LengthCM: t.Size.Length, WidthCM: t.Size.Width, HeightCM: t.Size.Height}
	if !t.Sized() && t.VolumeL > 0 {
		size := units.CustomaryTank(t.VolumeL)
		out.LengthCM, out.WidthCM, out.HeightCM = size.Length, size.Width, size.Height
	}
	for p, r := range t.Water {
		out.Reading[p] = conflict.Reading{Value: r.Value, Known: r.Known}
	}
	if t.Cover != nil {
		out.Cover, out.CoverKnown = *t.Cover, true
	}
	return out
}

func heads(p *conflict.Profile) int {
	if p.Individual.Count > 0 {
		return p.Individual.Count
	}
	return max(1, int(typical(p, species.GroupMin, 1)+0.5))
}

func distinct(a, b *species.Species) []*species.Species {
	if a.ID == b.ID {
		return []*species.Species{a}
	}
	return []*species.Species{a, b}
}

// factors gives the shares in tenths that sum to the score in tenths: what is rounded
// is the running sum.
func factors(p *conflict.Pairing, w conflict.Words) []Factor {
	out := make([]Factor, len(p.Factors))
	sum, shown := 0.0, 0.0
	for i, f := range p.Factors {
		sum += f.Share
		at := tenths(sum)
		out[i] = Factor{f.Factor.String(), w.Sentence(f.Statement), tenths(at - shown)}
		shown = at
	}
	return out
}

func tenths(x float64) float64 { return math.Round(x*10)/10 + 0 }

func tankOf(p *conflict.Pairing) Tank {
	c := &p.Conditions
	t := Tank{LengthCM: c.LengthCM, WidthCM: c.WidthCM, HeightCM: c.HeightCM, Reference: c.ReferenceTank,
		Cover: c.Cover, ReferenceCover: c.ReferenceCover,
		NeededLengthCM: max(typical(p.First, species.TankLength, 0), typical(p.Second, species.TankLength, 0)),
		NeededWidthCM:  max(typical(p.First, species.TankWidth, 0), typical(p.Second, species.TankWidth, 0))}
	for _, r := range c.Reading {
		if r.Known {
			t.Readings++
		}
	}
	return t
}

func remediesOf(p *conflict.Pairing, q *links.Pair, w conflict.Words) []Remedy {
	out := make([]Remedy, len(p.Remedies))
	for i := range p.Remedies {
		r := &p.Remedies[i]
		out[i] = Remedy{Code: string(r.Statement.Code), Sentence: w.Sentence(r.Statement), Level: r.Level.String(), Score: tenths(r.Score)}
		if r.Tank != nil || r.Cover > 0 || r.Water != nil || r.Counts != [2]int{} {
			asked := with(*q, r)
			out[i].Asked = &asked
		}
	}
	return out
}

// with is the question with a remedy applied.
func with(q links.Pair, r *conflict.Remedy) links.Pair {
	if r.Tank != nil {
		q.Tank.Size.Length, q.Tank.Size.Width, q.Tank.Size.Height = r.Tank.LengthCM, r.Tank.WidthCM, r.Tank.HeightCM
		q.Tank.VolumeL = 0
	}
	if r.Cover > 0 {
		q.Tank.Cover = &r.Cover
	}
	if r.Water != nil {
		q.Tank.Water[r.Water.Parameter] = links.Reading{Value: math.Round(r.Water.To*100) / 100, Known: true}
	}
	for i, n := range r.Counts {
		if n > 0 {
			q.Fish[i].Count = n
			if q.First == q.Second {
				q.Fish[1-i].Count = n
			}
		}
	}
	return q
}

func cautions(notes []conflict.CautionNote) []Caution {
	out := make([]Caution, len(notes))
	for i, n := range notes {
		out[i] = Caution{Code: string(n.Code), Text: n.Text}
		if n.Species != nil {
			k := kindOf(n.Species)
			out[i].Kind = &k
		}
	}
	return out
}
