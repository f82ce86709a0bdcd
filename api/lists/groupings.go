package lists

import (
	"context"
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/groupings"

	"github.com/labstack/echo/v4"
)

// SplitList splits a list over as few tanks as will do, or over given ones. Nothing
// is stored.
func (s *Lists) SplitList(c echo.Context, p gen.SplitListParams) error {
	in, book, err := asked[gen.GroupingsRequest](s, c)
	if err != nil {
		return err
	}
	in.Region = s.in(c, in.Region)
	named, err := s.NameArticles(c, LinesAt("/residents", in.Residents))
	if err != nil {
		return err
	}
	stock, tanks, err := readGroupings(book.Snapshot, in)
	if err != nil {
		return err
	}
	answer, err := s.split(c.Request().Context(), book, &stock, tanks, len(in.Residents), wire.InUS(p.Units))
	if err == nil {
		answer.Private = named
	}
	return s.to(c).Send(answer, err)
}

// split finds the groupings at the desk and words them.
func (s *Lists) split(ctx context.Context, book *conflict.Book, stock *stocking.Stock, tanks []stocking.Tank, residents int, us bool) (*respond.Reply, error) {
	job, err := s.desk.Begin(ctx, work.PriceOfGroupings(len(stock.Lines), len(tanks), growing(stock.Lines)))
	if err != nil {
		return nil, err
	}
	defer job.Done()
	stock.Budget = job.Budget
	found, err := groupings.Find(book, *stock, tanks, groupingLimit(len(stock.Lines), len(tanks)))
	if err != nil {
		return nil, judgeFault(err)
	}
	return encoded(job, func(int) any { return newListWire(book, stock, residents, us).groupings(&found, tanks) })
}

// groupingWork bounds the search of one request to about a second: a node costs more
// the more lines and tanks there are. What is then not proved is stated.
const groupingWork = 20_000_000

func groupingLimit(lines, tanks int) groupings.Options {
	return groupings.Options{NodeLimit: int64(min(100_000, groupingWork/max(1, lines*tanks)))}
}

// readGroupings reads the list and the tanks, or tells of everything that is wrong.
func readGroupings(snap *species.Snapshot, in *gen.GroupingsRequest) (stocking.Stock, []stocking.Tank, error) {
	r := NewReader(snap)
	stock := stocking.Stock{Lines: r.lines(in.Residents, nil), Wanted: wantedOf(in.WantedLevel), Region: wire.Value(in.Region)}
	r.sizeOfList(len(stock.Lines))
	given := wire.Value(in.Tanks)
	tanks := make([]stocking.Tank, len(given))
	for i := range given {
		if t := r.tankAt("/tanks/"+strconv.Itoa(i), &given[i]); t != nil {
			tanks[i] = *t
		}
	}
	return stock, tanks, r.Err()
}

func (w *listWire) groupings(g *groupings.Groupings, tanks []stocking.Tank) gen.Groupings {
	w.use(g.Lines)
	return gen.Groupings{
		Summary: w.words.Sentence(g.Summary), WantedLevel: gen.Level(g.Wanted.String()), Lines: w.checkedLines(), Given: g.Given,
		Groups: w.groups(g.Groups, tanks), Unplaced: w.unplaced(g.Unplaced), Optimal: g.Optimal, Complete: g.Complete, LowerBound: g.LowerBound,
		Lost: wire.Decimals(g.Lost, 3), LostBound: wire.Decimals(g.LostBound, 3), Gap: wire.Decimals(g.Gap(), 3), Nodes: g.Nodes,
		Cautions: wire.Cautions(g.Cautions), ModelVersion: w.book.Model.Version(), CatalogueRevision: w.book.Snapshot.Revision(),
	}
}

// groups are the tanks of a split. Each pairing is linked in the tank it came to stand in.
func (w *listWire) groups(list []groupings.Grouping, tanks []stocking.Tank) []gen.Grouping {
	out := make([]gen.Grouping, len(list))
	for i := range list {
		g := &list[i]
		out[i] = gen.Grouping{
			Lines: g.Lines, Decision: gen.Decision(g.Decision.String()), Summary: w.words.Summary(&g.Summary),
			SharedWater: *wire.SharedWater(g.Windows),
		}
		if g.Tank >= 0 {
			out[i].Tank, w.tank = &g.Tank, &tanks[g.Tank]
		}
		if g.Size != nil {
			out[i].Size, w.tank = wire.Optional(wire.SizeText(g.Size)), stocking.TankOf(*g.Size)
		}
		if g.Worst != nil {
			out[i].Worst = &w.pairings([]stocking.ListPairing{*g.Worst})[0]
		}
	}
	return out
}

func (w *listWire) unplaced(list []groupings.Unplaced) []gen.Unplaced {
	out := make([]gen.Unplaced, len(list))
	for i := range list {
		u := &list[i]
		with, line := against(u.With)
		out[i] = gen.Unplaced{Lines: u.Lines, With: gen.UnplacedWith(with), Line: line, Reason: w.words.Sentence(u.Reason)}
		if u.Tank >= 0 {
			out[i].Tank = &u.Tank
		}
	}
	return out
}

// checkGroupings is the split beside a check; nil where there is none.
func (w *listWire) checkGroupings(g *groupings.Groupings) *gen.CheckGroupings {
	if g == nil {
		return nil
	}
	out := &gen.CheckGroupings{
		Groups: make([]gen.CheckGrouping, len(g.Groups)), Unplaced: w.unplaced(g.Unplaced), Optimal: g.Optimal, LowerBound: g.LowerBound,
	}
	for i := range g.Groups {
		group := &g.Groups[i]
		out.Groups[i] = gen.CheckGrouping{Lines: group.Lines, Decision: gen.Decision(group.Decision.String())}
		if group.Size != nil {
			out.Groups[i].Size = wire.Optional(wire.SizeText(group.Size))
		}
	}
	return out
}
