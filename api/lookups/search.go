package lookups

import (
	"net/http"
	"net/url"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"

	"github.com/labstack/echo/v4"
)

// found is an entry of a list and the name by which it was found, if it was.
type found struct {
	species *species.Species
	matched string
}

// SearchSpecies searches and filters the catalogue.
func (s *Lookups) SearchSpecies(c echo.Context, p gen.SearchSpeciesParams) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	f, err := readFilter(p)
	if err != nil {
		return err
	}
	const path = "/v1/species"
	list := f.apply(book.Snapshot, p.Q)
	q := f.query(p.Q)
	page, err := respond.PageOf(respond.ListID(book, path+"?"+q.Encode()), len(list), p.Limit, p.Cursor, path, f.query(p.Q))
	if err != nil {
		return err
	}
	return respond.To(c).Send(&respond.Reply{Status: http.StatusOK, Media: respond.JSONType, Link: page.Link,
		ETag: s.books.Tag(book, withPage(path, q, p.Limit, p.Cursor)),
		Make: func() (any, error) { return speciesPageWire(book.Snapshot, list[page.From:page.To], page), nil }}, nil)
}

// filter is what a list of species is narrowed by; the zero filter lets all pass.
type filter struct {
	family      string
	zone        gen.Zone
	temperament gen.Temperament
	temperature conflict.Reading
	ph          conflict.Reading
	maxLength   conflict.Reading
}

func readFilter(p gen.SearchSpeciesParams) (filter, error) {
	var f filter
	wrong := respond.Faults{Malformed: respond.MalformedParameter}
	if p.Family != nil {
		f.family = *p.Family
	}
	if p.Zone != nil {
		f.zone = *p.Zone
	}
	if p.Temperament != nil {
		f.temperament = *p.Temperament
	}
	read := func(q wire.Quantity, name string, text *string) (r conflict.Reading) {
		r.Value, r.Known = q.Read(name, text, &wrong)
		return r
	}
	f.temperature = read(wire.Temperature, "temperature_c", p.TemperatureC)
	f.ph = read(wire.Acidity, "ph", p.Ph)
	f.maxLength = read(wire.FishLength, "max_length_cm", p.MaxLengthCm)
	return f, wrong.Err()
}

// query is the canonical form of search and filters.
func (f *filter) query(q *string) url.Values {
	out := url.Values{}
	put := func(name, value string) {
		if value != "" {
			out.Set(name, value)
		}
	}
	if q != nil {
		put("q", *q)
	}
	put("family", f.family)
	put("zone", string(f.zone))
	put("temperament", string(f.temperament))
	for name, r := range map[string]conflict.Reading{"temperature_c": f.temperature, "ph": f.ph, "max_length_cm": f.maxLength} {
		if r.Known {
			put(name, wire.Plain(r.Value))
		}
	}
	return out
}

// apply lists what passes: in order of rank with a search, else of id.
func (f *filter) apply(snap *species.Snapshot, q *string) []found {
	var all []found
	if q == nil {
		for i := range snap.Len() {
			all = append(all, found{species: snap.At(i)})
		}
	} else {
		for _, c := range snap.Search(*q, snap.Len()) {
			if sp, ok := snap.ByID(c.ID); ok {
				all = append(all, found{sp, c.Matched})
			}
		}
	}
	var out []found
	for _, e := range all {
		if f.passes(e.species) {
			out = append(out, e)
		}
	}
	return out
}
