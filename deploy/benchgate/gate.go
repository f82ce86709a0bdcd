package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
)

// gate is one comparison.
type gate struct {
	base, root string
	rounds     int
	time       string
	log        io.Writer

	dir   string // of what is made for the comparison
	sides [2]string
}

// run compares, and prints the table.
func (g *gate) run(ctx context.Context, w io.Writer) (err error) {
	if g.root, err = filepath.Abs(g.root); err != nil {
		return err
	}
	if g.dir, err = os.MkdirTemp("", "commensal-benchgate-"); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, g.clean()) }()
	g.sides = [2]string{filepath.Join(g.dir, "tree"), g.root}
	if _, err := g.git(ctx, "worktree", "add", "--detach", g.sides[0], g.base); err != nil {
		return fmt.Errorf("the base %q: %w", g.base, err)
	}
	for side := range g.sides {
		if err := g.build(ctx, side); err != nil {
			return err
		}
	}
	all, err := g.measure(ctx)
	if err != nil {
		return err
	}
	return tell(w, benchmarks, all)
}

// clean removes the tree of the base, also after an interrupt.
func (g *gate) clean() error {
	ctx := context.Background()
	if _, err := os.Stat(g.sides[0]); err == nil {
		if _, err := g.git(ctx, "worktree", "remove", "--force", g.sides[0]); err != nil {
			return err
		}
	}
	return os.RemoveAll(g.dir)
}

func (g *gate) git(ctx context.Context, args ...string) (string, error) {
	return output(exec.CommandContext(ctx, "git", append([]string{"-C", g.root}, args...)...))
}

// output is what a command prints; where it fails the error has that.
func output(cmd *exec.Cmd) (string, error) {
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Run(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, out.Bytes())
	}
	return out.String(), nil
}

// binary is the test binary of one side.
func (g *gate) binary(side int, n *named) string {
	return filepath.Join(g.dir, fmt.Sprint("side", side), n.binary())
}

// build builds the test binaries of one side.
func (g *gate) build(ctx context.Context, side int) error {
	for i := range benchmarks {
		n := &benchmarks[i]
		if _, err := os.Stat(g.binary(side, n)); err == nil {
			continue // of another benchmark of the package
		}
		fmt.Fprintf(g.log, "building %s of %s\n", n.pkg, [...]string{g.base, "this tree"}[side])
		cmd := exec.CommandContext(ctx, "go", "test", "-c", "-o", g.binary(side, n), "./"+n.pkg)
		cmd.Dir = g.sides[side]
		if _, err := output(cmd); err != nil {
			return fmt.Errorf("%s: %w", n.pkg, err)
		}
	}
	return nil
}

// measure lets the two sides take turns at each benchmark, round by round; the one that begins changes.
func (g *gate) measure(ctx context.Context) (all []samples, err error) {
	all = make([]samples, len(benchmarks))
	for round := range g.rounds {
		fmt.Fprintf(g.log, "round %d of %d\n", round+1, g.rounds)
		for i := range benchmarks {
			into := [2]*[]float64{&all[i].base, &all[i].now}
			for turn := range g.sides {
				side := (turn + round) % len(g.sides)
				v, err := g.once(ctx, side, &benchmarks[i])
				if err != nil {
					return nil, fmt.Errorf("%s: %w", [...]string{"the base", "this tree"}[side], err)
				}
				*into[side] = append(*into[side], v)
			}
		}
	}
	return all, nil
}

// once runs a benchmark of one side once, in the folder of its package as go test does.
func (g *gate) once(ctx context.Context, side int, n *named) (float64, error) {
	cmd := exec.CommandContext(ctx, g.binary(side, n), "-test.run=^$", "-test.bench="+n.pattern(), "-test.benchtime="+g.time, "-test.timeout=5m")
	cmd.Dir = filepath.Join(g.sides[side], filepath.FromSlash(n.pkg))
	out, err := output(cmd)
	if err != nil {
		return 0, err
	}
	return n.read([]byte(out))
}
