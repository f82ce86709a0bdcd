package lists

import (
	"net/http"
	"net/url"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/slip"
	"commensal/internal/stocking"
	"commensal/internal/stocking/care"

	"github.com/labstack/echo/v4"
)

// GetCareSheet tells what goes with a species over the counter.
func (s *Lists) GetCareSheet(c echo.Context, name string, p gen.GetCareSheetParams) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	found := respond.Faults{Malformed: respond.MalformedParameter}
	size, given := wire.ReadTank(p.Tank, &found)
	if err := found.Err(); err != nil {
		return err
	}
	matches, err := wire.ResolveAll(book.Snapshot, wire.InPath("species", name))
	if err != nil {
		return err
	}
	work.Count(c.Request().Context(), int64(book.Snapshot.Len()))
	q := care.Question{Index: matches[0].Index, Region: wire.Value(s.in(c, p.Region))}
	canonical := url.Values{}
	if given {
		q.Tank = &stocking.Tank{}
		q.Tank.LengthCM, q.Tank.WidthCM, q.Tank.HeightCM = size.Length, size.Width, size.Height
		canonical.Set("tank", wire.SizeText(&conflict.TankSize{LengthCM: size.Length, WidthCM: size.Width, HeightCM: size.Height}))
	}
	if q.Region != "" {
		canonical.Set("region", q.Region)
	}
	us := wire.InUS(p.Units)
	if us {
		canonical.Set("units", string(gen.Us))
	}
	path := "/v1/species/" + string(matches[0].Species.ID) + "/care"
	if len(canonical) > 0 {
		path += "?" + canonical.Encode()
	}
	answer := &respond.Reply{Status: http.StatusOK, Media: respond.JSONType, ContentLocation: path, Vary: "Accept", ETag: s.books.Tag(book, path),
		Make: func() (any, error) { return careSheet(book, q, us) }}
	if p.Region == nil && q.Region != "" { // it is another one for who asks from elsewhere
		answer.Caching = respond.Revalidate
	}
	if respond.PrefersText(c.Request()) {
		answer.ETag, answer.Media, answer.Make = s.books.Tag(book, path+" as text"), respond.TextType, nil
		sheet, err := careSheet(book, q, us)
		if err != nil {
			return err
		}
		answer.Body = []byte(slip.Care(&sheet, slip.Columns))
	}
	return respond.To(c).Send(answer, nil)
}

// careSheet is the sheet of a species in words.
func careSheet(book *conflict.Book, q care.Question, us bool) (gen.CareSheet, error) {
	sheet, err := care.For(book, q)
	if err != nil {
		return gen.CareSheet{}, judgeFault(err)
	}
	words := listWords
	if us {
		words = listWordsUS
	}
	out := gen.CareSheet{Species: wire.SpeciesRef(sheet.Species), Lines: make([]gen.CareLine, len(sheet.Lines)),
		ModelVersion: book.Model.Version(), CatalogueRevision: book.Snapshot.Revision()}
	for i := range sheet.Lines {
		l := &sheet.Lines[i]
		out.Lines[i] = gen.CareLine{Topic: gen.CareTopic(l.Topic), Text: words.Finding(&l.Finding)}
	}
	if sheet.Decided {
		out.Decision = wire.Present(gen.Decision(sheet.Decision.String()))
	}
	return out, nil
}
