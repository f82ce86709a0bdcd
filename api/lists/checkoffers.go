package lists

import (
	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/stocking"
	"commensal/internal/stocking/offers"

	"github.com/labstack/echo/v4"
)

// LookForOffers finds what may be offered with the answer to a question, where offers are asked for.
func (s *Lists) LookForOffers(c echo.Context, q *Question) (err error) {
	if q.offers() > 0 {
		q.offer, q.Private, err = s.OfferFor(c, q.Book, q.Asked.OfferFrom, nil)
	}
	return err
}

// offers is how many offers are asked for.
func (q *Question) offers() int { return int(wire.Value(q.Asked.Offers)) }

// kindsOnOffer is how many kinds are looked at.
func (q *Question) kindsOnOffer() int {
	if q.offer != nil {
		return len(q.offer.indices)
	}
	return q.Book.Snapshot.Len()
}

// addOffers adds the offers to an answer, where they are asked for.
func (q *Question) addOffers(w *listWire, out *gen.Check, s stocking.Stock, check *stocking.Check) error {
	n := q.offers()
	if n == 0 {
		return nil
	}
	found, err := offers.Find(q.Book, s, check, offers.Options{Most: n, InStock: q.offer.inStock()})
	if err != nil {
		return judgeFault(err)
	}
	list, source := make([]gen.Offer, len(found.Offered)), q.offer.source()
	for i := range found.Offered {
		list[i] = w.offered(&found.Offered[i], q.offer)
	}
	out.Offers, out.OfferedFrom = &list, &source
	out.OffersBeside = &gen.OffersBeside{Lines: append([]int{}, found.Lines...), Held: found.Held,
		Decision: gen.Decision(found.Decision.String()), TankDecision: gen.Decision(found.TankDecision.String())}
	if found.None != nil {
		out.NoOffers = wire.Optional(w.words.Sentence(*found.None))
	}
	return nil
}

func (w *listWire) offered(o *offers.Offer, from *offer) gen.Offer {
	out := gen.Offer{Species: wire.SpeciesRef(o.Species), Count: o.Count, Decision: gen.Decision(o.Decision.String()), Summary: w.words.Sentence(o.Spoken)}
	if from != nil {
		a := from.articles[o.Index]
		out.Article, out.Name, out.PriceClass = wire.Optional(a.Article), wire.Optional(a.Name), wire.Optional(a.PriceClass)
	}
	return out
}
