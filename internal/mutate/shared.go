package mutate

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
)

// Shared is one build of the tests of a trial that has many mutants in it: a constant is a variable
// there that is set by the number of a mutant when the program starts, and a comparison asks for it.
type Shared struct {
	trial   *Trial
	scratch string
	numbers map[Mutant]int
}

// Share builds the tests with all mutants of a package in one, as far as that can be: a constant that
// gives the length of an array cannot be a variable, nor one that other packages use. Close it after use.
func (t *Trial) Share(ctx context.Context, p Package, mutants []Mutant) (*Shared, error) {
	s := &Shared{trial: t, numbers: map[Mutant]int{}}
	w, err := readWhole(ctx, t.Dir, p, t.Packages)
	if err != nil {
		return nil, err
	}
	files := w.rewritten(mutants, s.numbers)
	if s.scratch, err = os.MkdirTemp("", "commensal-mutants-"); err != nil {
		return nil, fmt.Errorf("mutate: %w", err)
	}
	overlay, err := writeOverlay(s.scratch, files)
	if err != nil {
		s.Close()
		return nil, fmt.Errorf("mutate: %w", err)
	}
	if out, err := t.build(ctx, s.scratch, overlay); err != nil {
		s.Close()
		return nil, fmt.Errorf("mutate: no shared build of %s: %w\n%s", p.ImportPath, err, tail(out))
	}
	if outcome, err := t.ask(ctx, s.scratch, noMutant); err != nil || outcome != Survived {
		s.Close()
		return nil, fmt.Errorf("mutate: the tests of the shared build of %s fail as it is: %w", p.ImportPath, err)
	}
	return s, nil
}

// Close removes the build.
func (s *Shared) Close() { os.RemoveAll(s.scratch) }

// Len is how many of the mutants it has.
func (s *Shared) Len() int { return len(s.numbers) }

// Try runs the tests on one mutant, in a build of its own where the shared one does not have it.
func (s *Shared) Try(ctx context.Context, m Mutant) (Outcome, error) {
	if number, ok := s.numbers[m]; ok {
		return s.trial.ask(ctx, s.scratch, number)
	}
	return s.trial.Try(ctx, m)
}

// generated is the name of the file that the shared build has in addition.
const generated = "commensal_mutants.go"

func (w *whole) pathOf(name string) string { return filepath.Join(w.p.Dir, name) }
