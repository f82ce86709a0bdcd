package curation

import (
	"slices"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// DeleteSpecies takes an entry out of the catalogue.
func (s *Curation) DeleteSpecies(c echo.Context, name string, p gen.DeleteSpeciesParams) error {
	ctx := c.Request().Context()
	if p.IfMatch == nil {
		return respond.ErrNoPrecondition
	}
	base, err := s.latest(ctx)
	if err != nil {
		return err
	}
	id := species.ID(name)
	i, was := base.find(id)
	if was == nil {
		return respond.StoreFault(store.ErrNotFound)
	}
	if err := s.mayChange(base, id, true, *p.IfMatch); err != nil {
		return err
	}
	if err := dependants(base.catalogue, id); err != nil {
		return err
	}
	after := newEdition(store.Revision{}, base.without(i))
	if found := news(base.problems(), after.problems(), id); verify.HasErrors(found) {
		return needed(found)
	}
	if _, err := s.publish(c, base, after, reasonOr(p.Reason, string(id)+": taken out over the API")); err != nil {
		return lost(err, p.IfMatch)
	}
	return respond.To(c).Send(respond.NoContent(), nil)
}

// dependants is the fault of an entry that others need; nil where none does.
func dependants(c species.Catalogue, id species.ID) error {
	var list []string
	for _, s := range c.Species {
		if s.FormOf == id {
			list = append(list, "the form "+string(s.ID))
		}
	}
	for _, w := range c.Words {
		if slices.Contains(w.Candidates, id) {
			list = append(list, "the word "+w.Word)
		}
	}
	if len(list) == 0 {
		return nil
	}
	return &respond.Fault{Slug: respond.DependedOn, Detail: "It is needed by " + strings.Join(list, ", ") + "."}
}

// needed is the fault of an entry without which others are not right any more: a genus can
// lose what made one of its values unusual, so that somebody vouches for nothing.
func needed(found []verify.Problem) error {
	var list []string
	for _, p := range found {
		if p.Severity == verify.SeverityError {
			list = append(list, string(p.Species)+" ("+p.Field+": "+p.Detail+")")
		}
	}
	return &respond.Fault{Slug: respond.DependedOn, Detail: "Without it, these would not be right any more: " + strings.Join(list[:min(len(list), maxTold)], ", ") + "."}
}
