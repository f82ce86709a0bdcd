package calibration

import (
	"fmt"
	"io"
	"math/rand/v2"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Popular tells the kinds that every keeper knows.
type Popular func(*species.Species) bool

// Report writes the weights with their intervals, the agreement with the judges where the
// pairs were held out, and what the judges say of the rest: by group, by reason, who harms
// whom, the bands, and the pairs under stated conditions.
func Report(w io.Writer, p Panel, fitted conflict.Weights, held Held, popular Popular) error {
	scores, err := p.Scores(fitted)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "judgements %d, of them %d under stated conditions (trade memory, no published source)\n\n", len(p), len(p.Conditional()))
	reportWeights(w, fitted, held.Fits)
	all := view{p: p, scores: held.Scores(), causes: held.Causes}
	ordinary := all.where(func(j *Judgement) bool { return !j.Conditional })
	fmt.Fprintf(w, "\nheld out: no kind of a pair is seen by the fit that judges it (%d groups of kinds, %d fits)\n", Groups, len(held.Fits))
	fmt.Fprintf(w, "%-26s %5s %7s %15s %7s %14s\n", "", "pairs", "kappa", "90% interval", "exact", "severe as low")
	known := view{p: p, scores: scores}.where(func(j *Judgement) bool { return !j.Conditional })
	known.line(w, "fitted on all (not held)")
	ordinary.line(w, "whole catalogue")
	for _, g := range groups(popular) {
		ordinary.where(g.has).line(w, g.name)
	}
	ordinary.table(w)
	ordinary.reportReasons(w)
	ordinary.reportBands(w)
	all.reportConditions(w, held.Ordinary)
	return nil
}

// ReportUnseen writes the agreement with judgements that had no part in the fit. Their kinds
// may have had.
func ReportUnseen(w io.Writer, p Panel, fitted conflict.Weights, popular Popular) error {
	causes, err := p.Causes(fitted)
	if err != nil {
		return err
	}
	v := view{p: p, scores: make([]float64, len(p)), causes: causes}
	for i := range causes {
		v.scores[i] = causes[i].Value
	}
	fmt.Fprintf(w, "\npairs that the fit has not seen\n")
	fmt.Fprintf(w, "%-26s %5s %7s %15s %7s %14s\n", "", "pairs", "kappa", "90% interval", "exact", "severe as low")
	v.line(w, "whole catalogue")
	for _, g := range groups(popular) {
		v.where(g.has).line(w, g.name)
	}
	v.table(w)
	v.reportReasons(w)
	v.reportBands(w)
	return nil
}

// reportWeights writes every weight with the spread of the fits that leave groups of kinds
// out: an interval from resampling by kinds.
func reportWeights(w io.Writer, fitted conflict.Weights, fits []conflict.Weights) {
	fmt.Fprintf(w, "%-20s %8s %8s %17s  %s\n", "weight", "start", "fitted", "9 of 10 fits", "meaning")
	for _, s := range conflict.WeightSpecs {
		values := make([]float64, len(fits))
		for i := range fits {
			values[i] = *s.At(&fits[i])
		}
		low, high := interval(values)
		fmt.Fprintf(w, "%-20s %8.3f %8.3f %8.3f-%8.3f  %s\n", s.Key, s.Start, *s.At(&fitted), low, high, s.Meaning)
	}
}

// interval are the 5th and 95th percentiles.
func interval(values []float64) (low, high float64) {
	if len(values) == 0 {
		return 0, 0
	}
	slices.Sort(values)
	at := func(q float64) float64 { return values[int(q*float64(len(values)-1)+0.5)] }
	return at(0.05), at(0.95)
}

// view is a part of the panel with what the model says of it.
type view struct {
	p      Panel
	scores []float64
	causes []conflict.Causes
}

func (v view) where(keep func(*Judgement) bool) (out view) {
	for i := range v.p {
		if keep(&v.p[i]) {
			out.p, out.scores = append(out.p, v.p[i]), append(out.scores, v.scores[i])
			if v.causes != nil {
				out.causes = append(out.causes, v.causes[i])
			}
		}
	}
	return out
}

func (v view) line(w io.Writer, name string) {
	c := v.p.Confusion(v.scores)
	low, high := v.bootstrap()
	fmt.Fprintf(w, "%-26s %5d %7.3f   %5.3f to %5.3f %6.0f%% %14d\n", name, len(v.p), c.Kappa(), low, high, 100*c.Exact(), c.SevereAsLow())
}

// resamples is how many times pairs are drawn anew for an interval.
const resamples = 400

// bootstrap is the interval of kappa over resampled pairs (Efron 1979, Ann. Stat. 7:1-26).
func (v view) bootstrap() (low, high float64) {
	rng := rand.New(rand.NewPCG(2, uint64(len(v.p))))
	kappas := make([]float64, resamples)
	for i := range kappas {
		var c Confusion
		for range v.p {
			k := rng.IntN(len(v.p))
			c.Add(v.p[k].Level, conflict.LevelOf(v.scores[k]))
		}
		kappas[i] = c.Kappa()
	}
	return interval(kappas)
}

func (v view) table(w io.Writer) {
	fmt.Fprintf(w, "\njudged (rows) against model (columns: low moderate high severe)\n")
	for l, row := range v.p.Confusion(v.scores) {
		fmt.Fprintf(w, "%-9s %4d %4d %4d %4d\n", conflict.Level(l), row[0], row[1], row[2], row[3])
	}
}

// group is a part of the panel that is looked at by itself; groups overlap.
type group struct {
	name string
	has  func(*Judgement) bool
}

// coolFrom is the temperature in °C up to which a kind of cool water prefers it.
const coolUpTo = 24

func groups(popular Popular) []group {
	either := func(is func(*species.Species) bool) func(*Judgement) bool {
		return func(j *Judgement) bool { return is(j.A) || is(j.B) }
	}
	cichlid := func(sp *species.Species) bool { return sp.Family == "Cichlidae" }
	hunter := func(sp *species.Species) bool { return sp.Traits[species.Piscivory].Typical >= 0.7 }
	cool := func(sp *species.Species) bool { return sp.Water[species.Temperature].Preferred.High <= coolUpTo }
	spineless := func(sp *species.Species) bool { return sp.BodyForm.Invertebrate() }
	special := func(sp *species.Species) bool { return cichlid(sp) || hunter(sp) || cool(sp) || spineless(sp) }
	return []group{
		{"popular kinds", func(j *Judgement) bool { return popular(j.A) && popular(j.B) }},
		{"community", func(j *Judgement) bool { return !special(j.A) && !special(j.B) }},
		{"cichlids", either(cichlid)},
		{"predators", either(hunter)},
		{"cool water", either(cool)},
		{"invertebrates", either(spineless)},
		{"own kind", func(j *Judgement) bool { return conflict.OneKind(j.A, j.B) }},
		{"forms", either(func(sp *species.Species) bool { return sp.Form != "" })},
	}
}

// reportReasons writes how often the main reason and the direction are the judged ones.
func (v view) reportReasons(w io.Writer) {
	fmt.Fprintf(w, "\nmain reason as judged, and kappa of the pairs of that reason\n")
	var hits, asked int
	for r := conflict.Predation; int(r) < conflict.NumReasons; r++ {
		part := v.where(func(j *Judgement) bool { return j.Reason == r && j.Level > conflict.Low })
		if len(part.p) == 0 {
			continue
		}
		right, high, rightHigh := 0, 0, 0
		for i := range part.p {
			ok := sameReason(part.causes[i].Reason(), r)
			right += count(ok)
			high += count(part.p[i].Level >= conflict.High)
			rightHigh += count(ok && part.p[i].Level >= conflict.High)
		}
		c := part.p.Confusion(part.scores)
		fmt.Fprintf(w, "%-14s %4d pairs, reason right in %3d; from high on %3d of %3d; exact level %3.0f%%\n", r, len(part.p), right, rightHigh, high, 100*c.Exact())
		hits, asked = hits+rightHigh, asked+high
	}
	fmt.Fprintf(w, "main reason right in %.0f%% of %d pairs from high on\n", percent(hits, asked), asked)
	hits, asked = 0, 0
	for i := range v.p {
		if v.p[i].told() {
			asked++
			first := v.causes[i].Harm[0] >= v.causes[i].Harm[1]
			hits += count(first == (v.p[i].Direction == FirstHarmsSecond))
		}
	}
	fmt.Fprintf(w, "who harms whom right in %.0f%% of %d pairs\n", percent(hits, asked), asked)
}

// sameReason lets aggression among a kind be aggression.
func sameReason(a, b conflict.Reason) bool {
	one := func(r conflict.Reason) conflict.Reason {
		if r == conflict.OwnKind {
			return conflict.Aggression
		}
		return r
	}
	return one(a) == one(b)
}

func count(ok bool) int {
	if ok {
		return 1
	}
	return 0
}

func percent(part, of int) float64 { return 100 * float64(part) / float64(max(of, 1)) }

// reportBands writes how many judged levels the bands of held-out pairs hold, and how wide
// they are.
func (v view) reportBands(w io.Writer) {
	held, width := 0, 0.0
	for i := range v.p {
		b := conflict.BandAt(v.scores[i])
		width += b[1] - b[0]
		held += count(b[0] < v.p[i].Level.Ceiling() && b[1] >= v.p[i].Level.Floor())
	}
	fmt.Fprintf(w, "bands hold the judged level in %.0f%%, %.1f points wide on average\n", percent(held, len(v.p)), width/float64(max(len(v.p), 1)))
}

// reportConditions writes the agreement under stated conditions, and whether the level moves
// from the ordinary one as judged.
func (v view) reportConditions(w io.Writer, ordinary []float64) {
	part := v.where(func(j *Judgement) bool { return j.Conditional })
	if len(part.p) == 0 {
		return
	}
	c := part.p.Confusion(part.scores)
	low, high := part.bootstrap()
	fmt.Fprintf(w, "\nunder stated conditions (held out): %d pairs, kappa %.3f (%.3f to %.3f), exact %.0f%%, severe as low %d\n",
		len(part.p), c.Kappa(), low, high, 100*c.Exact(), c.SevereAsLow())
	var moves [3][3]int
	right := 0
	for i := range v.p {
		j := &v.p[i]
		if !j.Conditional {
			continue
		}
		judged, model := j.moved(), sign(int(conflict.LevelOf(v.scores[i]))-int(conflict.LevelOf(ordinary[i])))
		moves[judged+1][model+1]++
		right += count(judged == model || judged != 0 && sign(compare(v.scores[i], ordinary[i])) == judged)
	}
	fmt.Fprintf(w, "moved from the ordinary level as judged in %.0f%%; judged better, same, worse (rows) against model (columns)\n", percent(right, len(part.p)))
	for k, name := range []string{"better", "same", "worse"} {
		fmt.Fprintf(w, "%-7s %4d %4d %4d\n", name, moves[k][0], moves[k][1], moves[k][2])
	}
}

// moved is the judged move from the ordinary level: −1 better, 0 the same, 1 worse.
func (j *Judgement) moved() int {
	switch {
	case j.Level < j.OrdinaryLow:
		return -1
	case j.Level > j.OrdinaryHigh:
		return 1
	}
	return 0
}

func compare(a, b float64) int {
	switch {
	case a < b-1:
		return -1
	case a > b+1:
		return 1
	}
	return 0
}

func sign(d int) int { return min(max(d, -1), 1) }
