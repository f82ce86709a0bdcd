package lists_test

import (
	"slices"
	"testing"

	"commensal/api/gen"

	"pgregory.net/rapid"
)

// apply makes one change to a request, as its words say; apart is what then lives by itself.
func (c *claim) apply(b basket, told *gen.Check, change gen.ListChange) (then, apart basket) {
	c.Helper()
	if change.Line == nil {
		b.Tank = c.inTank(b.Tank, change)
		return b, apart
	}
	at := b.places(told.Lines)[*change.Line]
	switch change.Code {
	case "leave_out":
		return b.without(at), apart
	case "separate":
		apart = b.only(at)
		apart.Tank = nil
		return b.without(at), apart
	case "add_females":
		if told.Lines[*change.Line].Sex == nil || *told.Lines[*change.Line].Sex != "female" {
			b.Incoming = append(slices.Clone(b.Incoming), fish{Species: told.Lines[*change.Line].Species.Id, Count: *change.Count, Sex: "female"})
			return b, apart
		}
	}
	n := told.Lines[*change.Line].Count
	return b.each(func(i int, f *fish) bool {
		switch {
		case !slices.Contains(at, i):
			return true
		case change.Code == "correct_length":
			f.LengthCM = *change.To
			return true
		case change.Code == "add_females":
			f.Count = n + *change.Count
		case change.Code == "raise_group", change.Code == "reduce_group":
			f.Count = *change.Count
		default:
			c.Fatalf("a change that nobody knows to make: %s", text(change))
		}
		return i == at[0] // lines alike are one
	}), apart
}

func (c *claim) inTank(tank basin, change gen.ListChange) basin {
	c.Helper()
	switch change.Code {
	case "larger_tank":
		return tank.sized(*change.Size)
	case "more_cover":
		return tank.with("cover", *change.To)
	case "move_reading":
		return tank.with(string(*change.Parameter), *change.To)
	case "close_lid":
		return tank.with("lid", true)
	case "lay_sand":
		return tank.with("substrate", "sand")
	case "mature_filter":
		return tank.with("filter_mature", true)
	case "move_turnover":
		return tank.with("turnover_per_hour", *change.To)
	case "change_water":
		return tank.with("weekly_change", *change.To)
	case "remove_plants":
		return tank.with("planted", false)
	}
	c.Fatalf("a change to a tank that nobody knows to make: %s", text(change))
	return nil
}

// carried makes several changes to a list that was judged, and is the worst decision of what comes of it.
func (c *claim) carried(b basket, told *gen.Check, changes []gen.ListChange) (d gen.Decision) {
	d = "proceed"
	// Lines are taken away last: every change names the lines of the answer.
	gone := func(x gen.ListChange) bool { return x.Code == "leave_out" || x.Code == "separate" }
	var out []int
	rest := b
	for _, change := range changes {
		if !gone(change) {
			rest, _ = c.apply(rest, told, change)
			continue
		}
		at := b.places(told.Lines)[*change.Line]
		if out = append(out, at...); change.Code == "separate" {
			_, apart := c.apply(b, told, change)
			d = worse(d, c.verdict(apart).Decision)
		}
	}
	rest = rest.without(out)
	if len(rest.fish()) > 0 {
		d = worse(d, c.verdict(rest).Decision)
	}
	return d
}

// Every remedy, made to the request as it says and sent again, comes to the decision that is told; and
// no single change that a keeper can make is better than the best of them.
func TestClaimsRemediesComeToWhatIsTold(t *testing.T) {
	claims(t, 40, func(c *claim) {
		b := c.basket(1, 4)
		b.Residents, b.Incoming = unlike(b.Residents), unlike(b.Incoming)
		b = b.each(func(_ int, f *fish) bool {
			f.Keep = rapid.IntRange(0, 7).Draw(c.T, "keep") == 0
			return true
		})
		told := c.check(b)
		best := told.Decision
		for _, r := range told.Remedies {
			if d := c.carried(b, &told, r.Changes); d != r.Decision || ranks[d] >= ranks[told.Decision] {
				c.Fatalf("from %s a remedy is told to come to %s, and comes to %s\n%s\n%s", told.Decision, r.Decision, d, text(b), text(r))
			}
			if ranks[r.Decision] < ranks[best] {
				best = r.Decision
			}
		}
		for _, change := range c.single(b, &told) {
			if d := c.carried(b, &told, []gen.ListChange{change}); ranks[d] < ranks[best] {
				c.Fatalf("from %s the remedies come to %s, and this one to %s: %s\n%s\n%s", told.Decision, best, d, text(change), text(b), text(told.Remedies))
			}
		}
	})
}

// single are changes that any keeper can think of: less fish, a larger tank, more cover, a lid.
func (c *claim) single(b basket, told *gen.Check) (out []gen.ListChange) {
	for i, l := range told.Lines {
		if joins := len(b.Residents) > 0 && len(b.Incoming) > 0; !l.Keep && len(told.Lines) > 1 && (l.Incoming || !joins) {
			out = append(out, gen.ListChange{Code: "leave_out", Line: &i})
		}
	}
	if b.Tank == nil {
		return out
	}
	for _, code := range []gen.ListChangeCode{"close_lid", "lay_sand", "mature_filter", "remove_plants"} {
		out = append(out, gen.ListChange{Code: code})
	}
	for _, cover := range []float64{0.6, 0.9} {
		if now, given := b.Tank["cover"].(float64); !given && cover > 0.5 || given && now < cover {
			out = append(out, gen.ListChange{Code: "more_cover", To: &cover})
		}
	}
	return out
}

// The remedy of a finding, made to the request as it says and sent again, leaves no such finding; one
// fish less, or the next smaller tank, leaves it.
func TestClaimsTheRemedyOfAFindingClearsIt(t *testing.T) {
	claims(t, 40, func(c *claim) {
		b := c.basket(1, 4)
		b.Residents, b.Incoming = unlike(b.Residents), unlike(b.Incoming)
		told := c.check(b)
		for _, f := range told.Findings {
			if f.Remedy == nil {
				continue
			}
			if then, left := c.finding(b, &told, f, *f.Remedy); left {
				c.Fatalf("%s stands after its remedy\n%s\n%s\n%s", f.Code, text(f), text(b), text(then))
			}
			lesser := *f.Remedy
			if f.Code == "sexes_wrong" {
				continue // the customary number of males, and not the most that will do
			}
			switch f.Remedy.Code {
			case "raise_group":
				if f.Existing {
					continue // a shoal that lives there and is nearly enough is not spoken of; the remedy is a whole group
				}
				lesser.Count = new(int)
				*lesser.Count = *f.Remedy.Count - 1
			case "reduce_group":
				lesser.Count = new(int)
				*lesser.Count = *f.Remedy.Count + 1
			default:
				continue
			}
			if then, left := c.finding(b, &told, f, lesser); !left && *lesser.Count != told.Lines[*lesser.Line].Count {
				c.Fatalf("%s is gone with a smaller change than its remedy\n%s\n%s\n%s", f.Code, text(f), text(b), text(then))
			}
		}
	})
}

// finding makes a change and reports whether as many findings of the kind are left as there were.
func (c *claim) finding(b basket, told *gen.Check, f gen.Finding, change gen.ListChange) (basket, bool) {
	then, apart := c.apply(b, told, change)
	left := 0
	for _, list := range []basket{then, apart} {
		if len(list.fish()) > 0 {
			left += alike(c.check(list).Findings, f)
		}
	}
	return then, left >= alike(told.Findings, f)
}

// alike counts the findings of one kind about the same species and property.
func alike(list []gen.Finding, f gen.Finding) (n int) {
	for _, o := range list {
		if o.Code == f.Code && slices.Equal(o.Species, f.Species) && parameterOf(o) == parameterOf(f) {
			n++
		}
	}
	return n
}

// parameterOf is the figure that a finding rests on first, which tells readings apart.
func parameterOf(f gen.Finding) string {
	if len(f.Evidence) == 0 {
		return ""
	}
	return f.Evidence[0].Name + f.Evidence[0].Unit
}
