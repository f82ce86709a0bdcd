package answers

import (
	"errors"

	"commensal/internal/conflict"
	"commensal/internal/pages/links"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/remedies"
	"commensal/internal/stocking/wording"
)

// List is a list of fish, in its tank where that is known, judged as a whole.
type List struct {
	Asked    links.List // with ids
	Decision string     // "proceed", "advise" or "hold"
	Summary  string
	Lines    []Line
	Problems []Problem // gravest first; notes last
	Ask      []string  // the one or two questions whose answers would matter most
	Offers   []Offer   // changes that help, the cheapest first
	NoOffer  string    // why nothing brings the list to proceed; empty where something does
	LeaveOut [][]Left  // equally good sets of lines to leave out
	Pairs    []PairRow // worst first
	Scales   []Scale
	Apart    []string // parameters without a common value
	Tank     *Tank    // nil where no sides are known
	VolumeL  float64
	Assumed  []string
	Cautions []Caution
}

// Line is one line of a list as it was judged.
type Line struct {
	Kind     Kind
	Count    int // as told, else the customary group
	Told     bool
	Sex      species.Sex
	LengthCM float64 // as told, 0 for adults
	Incoming bool
	Body     Body
}

// Problem is one thing that was found: about one kind, two, or the tank.
type Problem struct {
	Code, Severity, Sentence string // severity: "stop", "advice" or "note"
	Kinds                    []Kind
	Pair                     *links.Pair // the page that explains it, where it is about two kinds
	Remedy                   string
	Existing                 bool // it stood among the residents before
}

// Offer is one or more changes made together and what the list then is.
type Offer struct {
	Sentences []string
	Decision  string
}

// Left is a line to leave out, and why.
type Left struct {
	Kind   Kind
	Reason string
}

// PairRow is one pairing of a list in brief.
type PairRow struct {
	First, Second   int // positions in Lines
	Level, Sentence string
	Score           float64
	Reason          string
	Harm            [2]float64
	Asked           links.Pair
}

// listWords are the sentences about lists and about what would change them.
var listWords = wording.English(false).With(remedies.English)

// ErrList is returned for a list that cannot be judged.
var ErrList = errors.New("answers: the list cannot be judged")

// List judges a list whose names are ids. The error is [ErrList].
func (d *Desk) List(q links.List) (List, error) {
	stock, ok := d.stock(&q)
	if !ok {
		return List{}, ErrList
	}
	check, err := stocking.Judge(d.book, stock)
	if err != nil {
		return List{}, errors.Join(ErrList, err)
	}
	w := listWords
	summary := check.Summary
	summary.More = 0 // the other reasons are listed
	out := List{Asked: q, Decision: check.Decision.String(), Summary: w.Summary(&summary), VolumeL: stock.Tank.Volume()}
	r := reader{d, &q, &check, w}
	out.Lines = r.lines()
	out.Pairs = r.pairs(out.Lines)
	out.Problems, out.Ask = r.problems(&out), r.questions()
	r.water(&out, stock.Tank)
	r.offers(&out, stock)
	for _, s := range check.Assumed {
		out.Assumed = append(out.Assumed, w.Sentence(s))
	}
	out.Cautions = cautions(check.Cautions)
	return out, nil
}

// stock is the list as the core takes it.
func (d *Desk) stock(q *links.List) (stocking.Stock, bool) {
	s := stocking.Stock{Wanted: stocking.DefaultWanted, Tank: listTank(&q.Tank)}
	for i, lines := range [][]links.Line{q.Residents, q.Incoming} {
		for _, l := range lines {
			index, ok := d.book.Snapshot.Index(species.ID(l.Name))
			if !ok {
				return s, false
			}
			s.Lines = append(s.Lines, stocking.Line{Index: index, Count: l.Count, Sex: l.Sex,
				LengthCM: l.LengthCM, AgeMonth: l.AgeMonths, Incoming: i == 1})
		}
	}
	return s, true
}

func listTank(t *links.Tank) *stocking.Tank {
	if t.Empty() {
		return nil
	}
	out := &stocking.Tank{VolumeL: t.VolumeL, Lid: t.Lid, FilterMature: t.Mature, Planted: t.Planted, Substrate: t.Floor}
	out.LengthCM, out.WidthCM, out.HeightCM = t.Size.Length, t.Size.Width, t.Size.Height
	for p, r := range t.Water {
		out.Reading[p] = conflict.Reading{Value: r.Value, Known: r.Known}
	}
	if t.Cover != nil {
		out.Cover, out.CoverKnown = *t.Cover, true
	}
	return out
}

// reader takes a judged list apart for a page.
type reader struct {
	desk  *Desk
	asked *links.List
	check *stocking.Check
	words wording.Words
}

func (r *reader) species(line int) *species.Species {
	return r.desk.book.Snapshot.At(r.check.Lines[line].Index)
}

func (r *reader) lines() []Line {
	out := make([]Line, len(r.check.Lines))
	for i := range r.check.Lines {
		l := &r.check.Lines[i]
		p := r.desk.book.For(l.Index, conflict.Individual{Count: l.Count, Sex: l.Sex})
		out[i] = Line{Kind: kindOf(p.Species), Count: stocking.FishIn(r.desk.book, l), Told: l.Count > 0,
			Sex: l.Sex, LengthCM: l.LengthCM, Incoming: l.Incoming, Body: bodyOf(p)}
	}
	return out
}

func (r *reader) pairs(lines []Line) []PairRow {
	out := make([]PairRow, len(r.check.Pairings))
	for i := range r.check.Pairings {
		p := &r.check.Pairings[i]
		out[i] = PairRow{First: p.First, Second: p.Second, Level: p.Score.Level.String(), Score: tenths(p.Score.Value),
			Reason: p.Score.Reason.String(), Harm: p.Score.Harm, Sentence: r.words.Sentence(p.Summary), Asked: r.ask(p.First, p.Second)}
	}
	return out
}

// ask is the question about two lines in the list's tank.
func (r *reader) ask(first, second int) links.Pair {
	q := links.Pair{First: string(r.species(first).ID), Second: string(r.species(second).ID)}
	q.Tank.Size, q.Tank.VolumeL, q.Tank.Water, q.Tank.Cover = r.asked.Tank.Size, r.asked.Tank.VolumeL, r.asked.Tank.Water, r.asked.Tank.Cover
	for i, line := range [2]int{first, second} {
		l := &r.check.Lines[line]
		q.Fish[i] = links.Fish{Count: l.Count, Sex: l.Sex, LengthCM: l.LengthCM}
	}
	q.OneGroup()
	return q
}

func (r *reader) water(out *List, tank *stocking.Tank) {
	var kinds []*species.Species
	for i := range r.check.Lines {
		if sp := r.species(i); i == 0 || sp != r.species(i-1) {
			kinds = append(kinds, sp)
		}
	}
	var readings [species.NumParameters]conflict.Reading
	if tank != nil {
		readings = tank.Reading
		if tank.HasFootprint() {
			out.Tank = &Tank{LengthCM: tank.LengthCM, WidthCM: tank.WidthCM, HeightCM: tank.HeightCM}
		}
	}
	out.Scales = scales(kinds, r.check.Shared.Windows, readings)
	for _, a := range r.check.Shared.Apart {
		out.Apart = append(out.Apart, a.Parameter.String())
	}
}
