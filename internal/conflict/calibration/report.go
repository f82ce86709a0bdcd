package calibration

import (
	"fmt"
	"io"
	"sync"

	"commensal/internal/conflict"
)

// Folds is the number of parts in cross-validation.
const Folds = 8

// Held is the outcome of cross-validation: every pair scored by weights fitted
// without it.
type Held struct {
	Scores    []float64
	Confusion Confusion
	PerFold   []Confusion
}

// CrossValidate fits Folds times, each time leaving every Folds-th pair out, and
// scores the pairs left out. Folds run in parallel; the result does not depend on it.
func CrossValidate(p Panel, start conflict.Weights) (Held, error) {
	held := Held{Scores: make([]float64, len(p)), PerFold: make([]Confusion, Folds)}
	errs := make([]error, Folds)
	var wg sync.WaitGroup
	for f := range Folds {
		wg.Go(func() { errs[f] = held.fold(p, start, f) })
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return held, err
		}
	}
	held.Confusion = p.Confusion(held.Scores)
	return held, nil
}

func (h *Held) fold(p Panel, start conflict.Weights, f int) error {
	var train, test Panel
	var at []int
	for i, j := range p {
		if i%Folds == f {
			test, at = append(test, j), append(at, i)
		} else {
			train = append(train, j)
		}
	}
	scores, err := test.Scores(Fit(train, start))
	if err != nil {
		return err
	}
	h.PerFold[f] = test.Confusion(scores)
	for k, i := range at {
		h.Scores[i] = scores[k]
	}
	return nil
}

// Report writes the weights, the agreement on the panel and on held-out folds, and
// every pair that is off its judged level.
func Report(w io.Writer, p Panel, fitted conflict.Weights, held Held) error {
	scores, err := p.Scores(fitted)
	if err != nil {
		return err
	}
	c := p.Confusion(scores)
	fmt.Fprintf(w, "pairs %d (trade memory, no published source)\n\n", len(p))
	fmt.Fprintf(w, "%-16s %8s %8s  %s\n", "weight", "start", "fitted", "meaning")
	for _, s := range conflict.WeightSpecs {
		fmt.Fprintf(w, "%-16s %8.3f %8.3f  %s\n", s.Key, s.Start, *s.At(&fitted), s.Meaning)
	}
	fmt.Fprintf(w, "\nmean squared distance from the judged band, in levels: fitted %.4f, held out %.4f\n",
		p.distance(scores), p.distance(held.Scores))
	fmt.Fprintf(w, "\n%-28s %8s %8s %14s\n", "", "kappa", "exact", "severe as low")
	line := func(name string, c Confusion) {
		fmt.Fprintf(w, "%-28s %8.3f %7.0f%% %14d\n", name, c.Kappa(), 100*c.Exact(), c.SevereAsLow())
	}
	line("fitted on all pairs", c)
	line(fmt.Sprintf("held out, %d folds pooled", Folds), held.Confusion)
	for f, fold := range held.PerFold {
		line(fmt.Sprintf("  fold %d", f+1), fold)
	}
	fmt.Fprintf(w, "\nheld out: judged (rows) against model (columns: low moderate high severe)\n")
	for l, row := range held.Confusion {
		fmt.Fprintf(w, "%-9s %4d %4d %4d %4d\n", conflict.Level(l), row[0], row[1], row[2], row[3])
	}
	fmt.Fprintf(w, "\npairs off their judged level when all are fitted\n")
	for i, j := range p {
		if got := conflict.LevelOf(scores[i]); got != j.Level {
			fmt.Fprintf(w, "%s %-28s %-28s judged %-8s (%s to %s) model %-8s %5.1f, held out %5.1f\n", j.ID,
				j.A.ScientificName, j.B.ScientificName, j.Level, j.Low, j.High, got, scores[i], held.Scores[i])
		}
	}
	return nil
}
