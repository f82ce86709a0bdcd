package records

import (
	"cmp"
	"slices"
	"strings"

	"commensal/api/gen"
)

// decisionKey is the key of the decision among those of differences.
const decisionKey = "decision"

// difference is something that one answer has and another has otherwise or not at all. Its key tells
// it from other differences between answers to the same list.
type difference[T any] struct {
	key       string
	lines     []string // pointers into the list
	then, now *T       // not both nil
	species   []string // ids of either
}

// differences are what two answers to the same list do not have in common.
type differences struct {
	decision bool
	pairings []difference[gen.ListPairing]
	findings []difference[gen.Finding]
}

func (d *differences) any() bool { return d.decision || len(d.pairings)+len(d.findings) > 0 }

// keys are those of all differences.
func (d *differences) keys() map[string]bool {
	out := map[string]bool{}
	if d.decision {
		out[decisionKey] = true
	}
	for i := range d.pairings {
		out[d.pairings[i].key] = true
	}
	for i := range d.findings {
		out[d.findings[i].key] = true
	}
	return out
}

// differencesOf compares two answers. Of the pairings those are compared that then tells of: where
// it left some out, they were the mildest.
func differencesOf(then, now *gen.Check) *differences {
	now = toldThen(then, now)
	return &differences{
		decision: then.Decision != now.Decision,
		pairings: unlike(then, now, pairingsOf, func(a, b *gen.ListPairing) bool { return a.Level == b.Level && a.Score == b.Score }),
		findings: unlike(then, now, findingsOf, func(a, b *gen.Finding) bool { return a.Severity == b.Severity && a.Summary == b.Summary }),
	}
}

// toldThen is an answer with those of its pairings that the answer of then tells of too.
func toldThen(then, now *gen.Check) *gen.Check {
	if then.FurtherPairings == 0 {
		return now
	}
	told := map[string]bool{}
	for _, p := range pairingsOf(then) {
		told[p.key] = true
	}
	out := *now
	out.Pairings = nil
	for i, p := range pairingsOf(now) {
		if told[p.key] {
			out.Pairings = append(out.Pairings, now.Pairings[i])
		}
	}
	return &out
}

// said is a part of an answer, under its key.
type said[T any] struct {
	key     string
	lines   []string
	species []string
	what    *T
}

// unlike pairs the parts of two answers by their keys and returns those that are not alike, in the order
// of now, then what is gone. Where several have a key, those that are alike are paired first.
func unlike[T any](then, now *gen.Check, parts func(*gen.Check) []said[T], alike func(a, b *T) bool) (out []difference[T]) {
	old, left := map[string][]said[T]{}, parts(then)
	for _, a := range left {
		old[a.key] = append(old[a.key], a)
	}
	take := func(b *said[T], fits func(a, b *T) bool) *said[T] {
		list := old[b.key]
		i := slices.IndexFunc(list, func(a said[T]) bool { return fits(a.what, b.what) })
		if i < 0 {
			return nil
		}
		a := list[i]
		old[b.key] = slices.Delete(slices.Clone(list), i, i+1)
		return &a
	}
	var fresh []said[T]
	for _, b := range parts(now) {
		if take(&b, alike) == nil {
			fresh = append(fresh, b)
		}
	}
	for _, b := range fresh {
		d := difference[T]{key: b.key, lines: b.lines, now: b.what, species: b.species}
		if a := take(&b, func(_, _ *T) bool { return true }); a != nil {
			d.then, d.species = a.what, union(a.species, b.species)
		}
		out = append(out, d)
	}
	return append(out, gone(left, old)...)
}

// gone are the parts that are left of an answer, in its order.
func gone[T any](all []said[T], left map[string][]said[T]) (out []difference[T]) {
	for _, a := range all {
		if slices.ContainsFunc(left[a.key], func(b said[T]) bool { return a.what == b.what }) {
			out = append(out, difference[T]{key: a.key, lines: a.lines, then: a.what, species: a.species})
		}
	}
	return out
}

func union(a, b []string) []string {
	out := slices.Concat(a, b)
	slices.Sort(out)
	return slices.Compact(out)
}

// pairingsOf are the pairings, each by the lines of the request that it is between: the numbers of
// lines in an answer depend on the catalogue.
func pairingsOf(c *gen.Check) []said[gen.ListPairing] {
	out := make([]said[gen.ListPairing], len(c.Pairings))
	for i := range c.Pairings {
		p := &c.Pairings[i]
		lines := pointersOf(c, p.Lines)
		out[i] = said[gen.ListPairing]{"pairing " + strings.Join(lines, " "), lines, []string{p.Species[0].Id, p.Species[1].Id}, p}
	}
	return out
}

func findingsOf(c *gen.Check) []said[gen.Finding] {
	out := make([]said[gen.Finding], len(c.Findings))
	for i := range c.Findings {
		f := &c.Findings[i]
		lines := pointersOf(c, f.Lines)
		out[i] = said[gen.Finding]{"finding " + f.Code + " " + strings.Join(lines, " "), lines, f.Species, f}
	}
	return out
}

// pointersOf leads from lines of an answer to the first line of the request behind each, in order.
func pointersOf(c *gen.Check, lines []int) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = c.Lines[l].Refs[0]
	}
	slices.SortFunc(out, func(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) })
	return out
}
