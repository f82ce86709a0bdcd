package lists_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/stocking"

	"pgregory.net/rapid"
)

// split is the body of a request for groupings.
type split struct {
	Residents []fish  `json:"residents"`
	Tanks     []basin `json:"tanks,omitempty"`
	Wanted    string  `json:"wanted_level,omitempty"`
}

// crowded are the findings of too many fish, cramped those of too small a tank.
var (
	crowded = []gen.FindingCode{"ground_crowded", "zone_crowded", "tank_crowded"}
	cramped = []gen.FindingCode{"tank_too_short", "footprint_too_small", "tank_too_low"}
)

// takes is how a tank takes some units: whether its check is no hold and, for several of them, whether
// nobody crowds it.
func (c *claim) takes(lines []fish, tank basin, wanted string, several bool) bool {
	b := basket{Tank: tank, Residents: lines, Wanted: wanted}
	v := c.verdict(b)
	return v.Decision != gen.Hold && (!several || !c.finds(b, v, crowded))
}

// roomy reports a tank of a size that takes some lines and gives each the room that is customary.
func (c *claim) roomy(lines []fish, size, wanted string) bool {
	b := basket{Tank: basin{"size": size}, Residents: lines, Wanted: wanted}
	v := c.verdict(b)
	return v.Decision != gen.Hold && !c.finds(b, v, slices.Concat(crowded, cramped))
}

// finds reports whether a check, of which the short form is known, has a finding with one of some codes.
func (c *claim) finds(b basket, v gen.BriefCheck, some []gen.FindingCode) bool {
	for _, r := range v.Reasons {
		if slices.Contains(some, r.Code) {
			return true
		}
	}
	return v.FurtherReasons > 0 && slices.ContainsFunc(c.check(b).Findings, func(f gen.Finding) bool { return slices.Contains(some, f.Code) })
}

// units are the lines of the request that are never parted: those of a species that lives in company.
func (c *claim) units(lines []fish) (out [][]int) {
	shoal := map[string]int{}
	for i, f := range lines {
		m, err := c.book.Snapshot.Resolve(f.Species)
		if err != nil {
			c.Fatal(err)
		}
		if at, ok := shoal[f.Species]; ok {
			out[at] = append(out[at], i)
			continue
		}
		if stocking.Shoals(c.book.Snapshot.At(m.Index)) {
			shoal[f.Species] = len(out)
		}
		out = append(out, []int{i})
	}
	return out
}

// of are the lines of some units.
func of(lines []fish, units [][]int, picked int) (out []fish, n int) {
	for u := range units {
		if picked&(1<<u) != 0 {
			n++
			for _, i := range units[u] {
				out = append(out, lines[i])
			}
		}
	}
	return out, n
}

// unlike drops lines that a check would merge with one before: what is one line to a check is never split.
func unlike(lines []fish) (out []fish) {
	for _, f := range lines {
		bare := f
		bare.Count = 0
		if !slices.ContainsFunc(out, func(o fish) bool { o.Count = 0; return o == bare }) {
			out = append(out, f)
		}
	}
	return out
}

// No split of a list needs fewer tanks than the one told as optimal, and none fewer than the bound:
// every partition is tried, each part in every standard tank, by its check. Every group is what its
// own check says, in the smallest standard tank that will do.
func TestClaimsNoSplitOfAListNeedsFewerTanks(t *testing.T) {
	claims(t, 25, func(c *claim) {
		in := split{Residents: unlike(c.lines(1, 4)), Wanted: c.wanted()}
		g := answered[gen.Groupings](c, http.MethodPost, "/v1/groupings", in)
		units := c.units(in.Residents)
		fits := make([]bool, 1<<len(units)) // by the set of units
		for set := 1; set < len(fits); set++ {
			lines, n := of(in.Residents, units, set)
			fits[set] = slices.ContainsFunc(c.standard(), func(size basin) bool { return c.takes(lines, size, in.Wanted, n > 1) })
		}
		least, alone := fewestParts(fits, len(units))
		if len(g.Groups) < least || g.LowerBound > least || g.Optimal && len(g.Groups) != least || len(g.Unplaced) != len(units)-alone {
			c.Fatalf("%d groups, at least %d (optimal %v), %d without a place; of all partitions the least is %d with %d without\n%s",
				len(g.Groups), g.LowerBound, g.Optimal, len(g.Unplaced), least, len(units)-alone, text(in))
		}
		for i := range g.Groups {
			c.groupHolds(&in, &g, &g.Groups[i])
		}
	})
}

// standard are the standard tanks, the smallest first.
func (c *claim) standard() (out []basin) {
	for _, size := range sizes() {
		out = append(out, basin{"size": size})
	}
	return out
}

// fewestParts is the least number of parts that fit which hold all units that fit alone, and how many
// those are.
func fewestParts(fits []bool, units int) (least, alone int) {
	keepable := 0
	for u := range units {
		if fits[1<<u] {
			keepable, alone = keepable|1<<u, alone+1
		}
	}
	need := make([]int, len(fits))
	for set := 1; set < len(fits); set++ {
		need[set] = units + 1
		for part := set; part > 0; part = (part - 1) & set {
			if fits[part] {
				need[set] = min(need[set], 1+need[set&^part])
			}
		}
	}
	return need[keepable], alone
}

// groupHolds holds what is told of a group against the check of its tank.
func (c *claim) groupHolds(in *split, g *gen.Groupings, group *gen.Grouping) {
	c.Helper()
	var lines []fish
	for _, line := range group.Lines {
		for _, ref := range g.Lines[line].Refs {
			lines = append(lines, in.Residents[(&basket{}).place(ref)])
		}
	}
	b := basket{Residents: lines, Wanted: in.Wanted}
	if group.Tank != nil {
		b.Tank = in.Tanks[*group.Tank]
	} else {
		b.Tank = basin{"size": *group.Size}
		for _, smaller := range conflict.StandardTanks {
			if size := sizeText(smaller); size == *group.Size {
				break
			} else if c.roomy(lines, size, in.Wanted) {
				c.Fatalf("a group is told to need %s, and its check in %s speaks of no want of room\n%s", *group.Size, size, text(b))
			}
		}
	}
	then := c.check(b)
	if then.Decision != group.Decision || then.Decision == gen.Hold || then.Summary != group.Summary {
		c.Fatalf("a group is told as %s, %q, and its check says %s, %q\n%s", group.Decision, group.Summary, then.Decision, then.Summary, text(b))
	}
	if then.SharedWater == nil || text(then.SharedWater) != text(group.SharedWater) {
		c.Fatalf("the water of a group is told as %s, and its check says %s\n%s", text(group.SharedWater), text(then.SharedWater), text(b))
	}
	if group.Worst != nil && (then.Pairings[0].Score != group.Worst.Score || !strings.HasPrefix(group.Worst.Pairing, "/v1/pairings/")) {
		c.Fatalf("the worst pairing of a group is told as %v, and its check says %v\n%s", group.Worst.Score, then.Pairings[0].Score, text(b))
	}
}

// No way to spread a list over given tanks loses less than the one told as optimal, or less than the bound.
func TestClaimsNoSplitOverGivenTanksLosesLess(t *testing.T) {
	claims(t, 20, func(c *claim) {
		in := split{Residents: unlike(c.lines(1, 3)), Wanted: c.wanted()}
		for i := range in.Residents {
			in.Residents[i].Weight = float64(rapid.IntRange(1, 3).Draw(c.T, "weight"))
		}
		in.Residents = unlike(in.Residents)
		for range rapid.IntRange(1, 2).Draw(c.T, "tanks") {
			tank := c.tank()
			if tank == nil {
				tank = basin{}
			}
			in.Tanks = append(in.Tanks, tank)
		}
		g := answered[gen.Groupings](c, http.MethodPost, "/v1/groupings", in)
		units := c.units(in.Residents)
		least := c.leastLost(&in, units)
		if g.Lost < least-1e-6 || g.LostBound > least+1e-6 || g.Optimal && g.Lost > least+1e-6 {
			c.Fatalf("%v lost of at least %v (optimal %v); of all ways the least is %v\n%s", g.Lost, g.LostBound, g.Optimal, least, text(in))
		}
		for i := range g.Groups {
			c.groupHolds(&in, &g, &g.Groups[i])
		}
	})
}

// leastLost tries every tank, and none, for every unit. A unit that a tank would hold by itself is not
// put there.
func (c *claim) leastLost(in *split, units [][]int) float64 {
	least := 0.0
	for _, f := range in.Residents {
		least += f.Weight
	}
	eachWay(len(units), len(in.Tanks)+1, func(sets []int) {
		lost := 0.0
		left, _ := of(in.Residents, units, sets[0])
		for _, f := range left {
			lost += f.Weight
		}
		if lost < least && c.allTake(in, units, sets) {
			least = lost
		}
	})
	return least
}

func (c *claim) allTake(in *split, units [][]int, sets []int) bool {
	for at, tank := range in.Tanks {
		lines, n := of(in.Residents, units, sets[at+1])
		if n > 0 && !c.takes(lines, tank, in.Wanted, n > 1) {
			return false
		}
		for u := range units {
			if one, _ := of(in.Residents, units, sets[at+1]&(1<<u)); n > 1 && len(one) > 0 && !c.takes(one, tank, in.Wanted, false) {
				return false
			}
		}
	}
	return true
}

// What a check says of a split is what /v1/groupings says of the same list, but that it parts what it holds for one
// another and may leave residents together; each of its tanks is what its own check says.
func TestClaimsACheckSplitsAsGroupingsDo(t *testing.T) {
	claims(t, 25, func(c *claim) {
		b := basket{Residents: unlike(c.lines(1, 4)), Wanted: c.wanted(), Region: c.region()}
		if n := rapid.IntRange(0, 2).Draw(c.T, "joining"); n > 0 && n < len(b.Residents) {
			b.Residents, b.Incoming = b.Residents[n:], b.Residents[:n]
			b.Tank = c.tank()
		}
		told := c.check(b)
		if told.Groupings == nil {
			if told.Decision == gen.Hold && len(told.Lines) > 1 {
				c.Fatalf("a hold without a split\n%s", text(b))
			}
			return
		}
		places := b.places(told.Lines)
		for _, group := range told.Groupings.Groups {
			var lines []int
			for _, line := range group.Lines {
				lines = append(lines, places[line]...)
			}
			part := b.only(lines)
			own := basket{Residents: part.fish(), Wanted: b.Wanted, Region: b.Region, Tank: basin{"size": *group.Size}}
			if d := c.verdict(own).Decision; d != group.Decision || d == gen.Hold {
				c.Fatalf("a tank of a split is told as %s, and its check says %s\n%s\n%s", group.Decision, d, text(own), text(b))
			}
		}
		parted := c.parts(&told)
		if b.Region != "" {
			return // which a request for groupings does not name
		}
		g := answered[gen.Groupings](c, http.MethodPost, "/v1/groupings", split{Residents: b.fish(), Wanted: b.Wanted})
		if l := told.Groupings; l.LowerBound != g.LowerBound || len(l.Groups) < len(g.Groups) && g.Optimal || l.Optimal && len(l.Groups) != len(g.Groups) || len(l.Unplaced) > len(g.Unplaced) {
			c.Fatalf("%+v, and %+v\n%s", told.Groupings, g, text(b))
		}
		if parted || len(b.Incoming) > 0 {
			return
		}
		same := func(x gen.CheckGrouping, y gen.Grouping) bool {
			return slices.Equal(x.Lines, y.Lines) && x.Decision == y.Decision && *x.Size == *y.Size
		}
		if !slices.EqualFunc(told.Groupings.Groups, g.Groups, same) || told.Groupings.Optimal != g.Optimal || len(told.Groupings.Unplaced) != len(g.Unplaced) {
			c.Fatalf("%+v, and %+v\n%s", told.Groupings, g, text(b))
		}
	})
}

// parts holds that no tank of a split has two kinds that the check holds for one another, and reports whether it holds
// any so.
func (c *claim) parts(told *gen.Check) (parted bool) {
	c.Helper()
	between := []gen.FindingCode{"predation", "aggression", "fin_nipping", "water_differs", "feeding_clash", "own_kind", "hybridisation",
		"later_conflict", "grown_conflict", "young_conflict", "later_own_kind_conflict", "grown_own_kind_conflict", "young_own_kind_conflict"}
	for _, f := range told.Findings {
		if f.Severity != gen.Stop || f.Existing || len(f.Lines) != 2 || !slices.Contains(between, f.Code) {
			continue
		}
		parted = true
		for _, group := range told.Groupings.Groups {
			if slices.Contains(group.Lines, f.Lines[0]) && slices.Contains(group.Lines, f.Lines[1]) {
				if told.Lines[f.Lines[0]].Species.Id != told.Lines[f.Lines[1]].Species.Id {
					c.Fatalf("held for one another and together: %s\n%s", text(f), text(told.Groupings))
				}
			}
		}
	}
	return parted
}
