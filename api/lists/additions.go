package lists

import (
	"cmp"
	"context"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/slip"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/additions"

	"github.com/labstack/echo/v4"
)

// RankAdditions ranks what could join a list. Nothing is stored.
func (s *Lists) RankAdditions(c echo.Context, p gen.RankAdditionsParams) error {
	in, book, err := asked[gen.AdditionsRequest](s, c)
	if err != nil {
		return err
	}
	in.Region = s.in(c, in.Region)
	named, err := s.NameArticles(c, LinesAt("/residents", in.Residents))
	if err != nil {
		return err
	}
	answer, err := s.Rank(c, book, in, wire.InUS(p.Units), respond.PrefersText(c.Request()))
	if err == nil {
		answer.Private = answer.Private || named
	}
	return s.to(c).Send(answer, err)
}

// Rank answers with what could join a list, as a slip where text says so.
func (s *Lists) Rank(c echo.Context, book *conflict.Book, in *gen.AdditionsRequest, us, text bool) (*respond.Reply, error) {
	from, private, err := s.sourceOfAdditions(c, book, in)
	if err != nil {
		return nil, err
	}
	stock, options, onOffer, err := readAdditions(book.Snapshot, in, from)
	if err != nil {
		return nil, err
	}
	answer, err := s.rank(c.Request().Context(), book, in, us, text, stock, options, onOffer, from)
	if err == nil {
		answer.Private = private
	}
	return answer, err
}

// sourceOfAdditions is the stock, where the species on offer are to come from there.
func (s *Lists) sourceOfAdditions(c echo.Context, book *conflict.Book, in *gen.AdditionsRequest) (_ *offer, private bool, err error) {
	if in.InStock != nil {
		if in.OfferFrom != nil {
			const detail = "offer_from says where the species on offer come from, and in_stock lists them."
			return nil, false, &respond.Fault{Slug: respond.ImpossibleValue, Detail: detail, Entries: respond.Fields(respond.AtField(gen.Body, "/offer_from", detail, "give one of them"))}
		}
		return nil, false, nil
	}
	var classes []string
	if in.Filters != nil {
		classes = wire.Value(in.Filters.PriceClass)
	}
	return s.OfferFor(c, book, in.OfferFrom, classes)
}

// rank ranks at the desk and words what was found.
func (s *Lists) rank(ctx context.Context, book *conflict.Book, in *gen.AdditionsRequest, us, text bool, stock stocking.Stock, options additions.Options, onOffer map[int]OnOffer, from *offer) (*respond.Reply, error) {
	short := text || wire.Value(in.Detail) == gen.Brief
	if short {
		options.Limit, options.Below = min(cmp.Or(options.Limit, maxBriefFitting), maxBriefFitting), maxBriefBelow
	}
	told := cmp.Or(options.Limit, additions.DefaultLimit) + cmp.Or(options.Below, additions.DefaultBelow)
	job, err := s.desk.Begin(ctx, work.PriceOfAdditions(len(stock.Lines), offered(book, &options), told, growing(stock.Lines)))
	if err != nil {
		return nil, err
	}
	defer job.Done()
	stock.Budget = job.Budget
	found, err := additions.Rank(book, stock, options)
	if err != nil {
		return nil, judgeFault(err)
	}
	w := newListWire(book, &stock, len(in.Residents), us)
	w.onOffer = onOffer
	if short {
		brief := w.briefAdditions(&found)
		return briefReply(job, &brief, text, func() string { return slip.Additions(&brief, slip.Columns) })
	}
	return byAccept(encoded(job, func(tighter int) any {
		found.Fitting, found.Below = halved(found.Fitting, tighter), halved(found.Below, tighter)
		found.Complete = found.Complete && tighter == 0
		out := w.additions(&found)
		out.OfferedFrom = gen.AdditionsOfferedFrom(from.source())
		if in.InStock != nil {
			out.OfferedFrom = gen.OfferedFromRequest
		}
		return out
	}))
}

// offered is how many species are looked at.
func offered(book *conflict.Book, o *additions.Options) int {
	if o.InStock != nil {
		return len(o.InStock)
	}
	return book.Snapshot.Len()
}

// readAdditions reads the list and the options, or tells of everything that is wrong. onOffer
// is what is known of what is on offer.
func readAdditions(snap *species.Snapshot, in *gen.AdditionsRequest, from *offer) (_ stocking.Stock, _ additions.Options, onOffer map[int]OnOffer, _ error) {
	r := NewReader(snap)
	stock := stocking.Stock{Lines: r.lines(in.Residents, nil), Tank: r.Tank(in.Tank), Wanted: wantedOf(in.WantedLevel), Region: wire.Value(in.Region)}
	o := additions.Options{Limit: int(wire.Value(in.Limit))}
	if from != nil {
		o.InStock, onOffer = from.indices, from.articles
	} else {
		o.InStock, onOffer = r.inStock(in)
	}
	if f := in.Filters; f != nil {
		o.Filters.Family = wire.Value(f.Family)
		o.Filters.MaxLengthCM = r.Quantity("/filters", "max_length_cm", f.MaxLengthCm, wire.ResidentLength)
		if f.Zone != nil {
			zone := zoneOf(*f.Zone)
			o.Filters.Zone = &zone
		}
		if f.Temperament != nil {
			o.Filters.Temperament = []conflict.WordCode{conflict.WordCode(*f.Temperament)}
		}
	}
	if in.InsteadOf != nil {
		index := r.Species("/instead_of", *in.InsteadOf)
		o.InsteadOf = &index
	}
	return stock, o, onOffer, r.Err()
}

func zoneOf(z gen.Zone) species.Zone {
	for k := range species.Zone(species.NumZones) {
		if k.String() == string(z) {
			return k
		}
	}
	return species.Bottom
}

func (w *listWire) additions(a *additions.Additions) gen.Additions {
	w.use(a.Lines)
	out := gen.Additions{
		Decision: gen.Decision(a.Decision.String()), WantedLevel: gen.Level(a.Wanted.String()), Lines: w.checkedLines(),
		Fitting: w.additionList(a.Fitting), Below: w.additionList(a.Below), Considered: a.Considered, Complete: a.Complete,
		ModelVersion: w.book.Model.Version(), CatalogueRevision: w.book.Snapshot.Revision(),
	}
	if a.RegionKnown {
		out.Forbidden = &a.Forbidden
	}
	if a.InsteadOf != nil {
		ref := wire.SpeciesRef(a.InsteadOf)
		out.InsteadOf = &ref
	}
	return out
}

func (w *listWire) additionList(list []additions.Addition) []gen.Addition {
	out := make([]gen.Addition, len(list))
	for i := range list {
		a := &list[i]
		out[i] = gen.Addition{
			Species: wire.SpeciesRef(a.Species), Count: a.Count, CustomaryCount: a.Customary, Fits: a.Fits,
			Decision: gen.Decision(a.Decision.String()), WorstScore: wire.Tenths(a.Worst), Pairing: w.joining(a.Pairing),
			WaterFit: wire.Decimals(a.WaterFit, 3), ZoneFree: wire.Decimals(a.ZoneFree, 3), More: a.More, Limit: w.limit(a.Limit),
			Likeness: wire.Present(wire.Decimals(a.Likeness, 3)), Cautions: wire.Cautions(a.Cautions), PriceClass: wire.Optional(w.onOffer[a.Index].PriceClass),
			Article: wire.Optional(w.onOffer[a.Index].Article), Name: wire.Optional(w.onOffer[a.Index].Name),
		}
		if a.Why != nil {
			out[i].Why = wire.Optional(w.words.Short(*a.Why))
		}
	}
	return out
}

func (w *listWire) joining(j *additions.Joining) *gen.Joining {
	if j == nil {
		return nil
	}
	out := &gen.Joining{
		Score: wire.Tenths(j.Score.Value), Level: gen.Level(j.Score.Level.String()), MainReason: gen.MainReason(j.Score.Reason.String()),
		Summary: w.words.Pairing().Short(j.Summary, conflict.SummaryLimit), SpeciesLevel: speciesLevelWire(j.SpeciesLevel),
	}
	if j.With >= 0 {
		out.Line = &j.With
	}
	return out
}

func (w *listWire) limit(l *stocking.Limit) *gen.AdditionLimit {
	if l == nil {
		return nil
	}
	with, line := against(l.With)
	return &gen.AdditionLimit{Decision: gen.Decision(l.Decision.String()), Summary: w.words.Sentence(l.Statement),
		With: gen.AdditionLimitWith(with), Line: line}
}

// against is what stands against a line, as the wire calls it, and the line where it is one.
func against(with int) (word string, line *int) {
	switch {
	case with == stocking.OwnKind:
		return string(gen.AdditionLimitWithOwnKind), nil
	case with >= 0:
		return string(gen.AdditionLimitWithLine), &with
	}
	return string(gen.AdditionLimitWithTank), nil
}
