package curation

import (
	"context"
	"errors"
	"net/http"
	"strconv"

	"commensal/api/gen"
	"commensal/api/lookups"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/auth"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// ListRevisions lists the revisions of the catalogue.
func (s *Curation) ListRevisions(c echo.Context, p gen.ListRevisionsParams) error {
	ctx := c.Request().Context()
	k, before, err := s.revisionKeyset("/v1/revisions", p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	list, err := s.store.RevisionsBefore(ctx, before, k.Limit+1)
	if err != nil {
		return respond.StoreFault(err)
	}
	list, next, link := respond.Cut(&k, uuid.Nil, list, func(r *store.Revision) string { return strconv.FormatInt(r.Number, 10) })
	return respond.To(c).Send(respond.Listed(gen.RevisionsPage{Revisions: wire.Mapped(list, revisionWire(curates(c))), Next: next}, link))
}

// revisionKeyset reads the page of a list of revisions, and the number that it begins
// before: 0 for the first page.
func (s *Curation) revisionKeyset(path string, limit *int, cursor *string) (k respond.Keyset, before int64, err error) {
	if s.store == nil {
		return k, 0, respond.ErrDatabaseAway
	}
	if k, err = respond.NewKeyset(uuid.Nil, path, nil, limit, cursor); err != nil || k.Place == "" {
		return k, 0, err
	}
	if before, err = strconv.ParseInt(k.Place, 10, 64); err != nil || before < 1 || strconv.FormatInt(before, 10) != k.Place {
		return k, 0, respond.BadCursor("The cursor is damaged.")
	}
	return k, before, nil
}

// curates reports whether a curator asks.
func curates(c echo.Context) bool {
	who := transact.Who(c)
	return who != nil && who.May(auth.Curate)
}

// ListSpeciesRevisions tells the history of one entry.
func (s *Curation) ListSpeciesRevisions(c echo.Context, name string, p gen.ListSpeciesRevisionsParams) error {
	ctx := c.Request().Context()
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	id, unknown := species.ID(name), error(nil)
	if matches, err := wire.ResolveAll(book.Snapshot, wire.InPath("species", name)); err == nil {
		id = matches[0].Species.ID
	} else if unknown = err; !isUnknown(err) {
		return err
	}
	k, before, err := s.revisionKeyset(lookups.SpeciesPath(id)+"/revisions", p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	list, err := s.store.EntryChanges(ctx, id, before, k.Limit+1)
	switch {
	case err != nil:
		return respond.StoreFault(err)
	case len(list) == 0 && unknown != nil: // not the id of an entry that is gone either
		return unknown
	}
	list, next, link := respond.Cut(&k, uuid.Nil, list, func(c *store.EntryChange) string { return strconv.FormatInt(c.Number, 10) })
	return respond.To(c).Send(respond.Listed(gen.SpeciesRevisionsPage{Species: string(id), Revisions: historyWire(list, revisionWire(curates(c))), Next: next}, link))
}

func isUnknown(err error) bool {
	var f *respond.Fault
	return errors.As(err, &f) && (f.Slug == respond.UnknownSpecies || f.Slug == respond.NotAFish)
}

// CompareRevisions compares two revisions.
func (s *Curation) CompareRevisions(c echo.Context, number string, p gen.CompareRevisionsParams) error {
	ctx := c.Request().Context()
	from, err := s.editionOf(ctx, number)
	if err != nil {
		return err
	}
	var to *edition
	if p.To == nil {
		to, err = s.latest(ctx)
	} else {
		to, err = s.editionOf(ctx, *p.To)
	}
	if err != nil {
		return err
	}
	return respond.To(c).Send(respond.JSON(differenceWire(from, to)))
}

// revisionOf is the revision that a text names. Text that is no number names none.
func (s *Curation) revisionOf(ctx context.Context, text string) (r store.Revision, err error) {
	if s.store == nil {
		return r, respond.ErrDatabaseAway
	}
	number, err := strconv.ParseInt(text, 10, 64)
	if err != nil || strconv.FormatInt(number, 10) != text {
		number = 0 // there is none of this number either
	}
	r, err = s.store.FindRevision(ctx, number)
	return r, respond.StoreFault(err)
}

func (s *Curation) editionOf(ctx context.Context, text string) (*edition, error) {
	r, err := s.revisionOf(ctx, text)
	if err != nil {
		return nil, err
	}
	return s.edition(ctx, r)
}

// RestoreRevision goes back to the content of an earlier revision.
func (s *Curation) RestoreRevision(c echo.Context, number string, p gen.RestoreRevisionParams) error {
	ctx := c.Request().Context()
	in, err := validate.Body[gen.RestoreWrite](c)
	if err != nil {
		return err
	}
	old, err := s.editionOf(ctx, number)
	if err != nil {
		return err
	}
	if err := outdated(old); err != nil {
		return err
	}
	note := reasonOr(in.Reason, "back to revision "+strconv.FormatInt(old.Number, 10))
	var now *edition
	answer, err := transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		made, changed, err := tx.ChangeCatalogue(ctx, store.Change{Catalogue: old.catalogue, Note: note, KeyID: transact.Who(c).Key,
			OnTopOf: store.AnyRevision, Like: store.Content{Revision: old.Number, Catalogue: old.catalogue}})
		if err != nil {
			return nil, err
		}
		out, err := respond.JSON(revisionWire(true)(made))
		if err == nil && changed {
			out.Status, now = http.StatusCreated, &edition{made, old.catalogue, old.problems}
		}
		return out, err
	})
	if err == nil && now != nil {
		s.published(now)
	}
	return respond.To(c).Send(answer, err)
}

// outdated is the fault of an edition that the rules of today refuse.
func outdated(e *edition) error {
	found := respond.Faults{}
	for _, p := range e.problems() {
		if p.Severity == verify.SeverityError && len(found.Impossible) < maxTold {
			found.Impossible = append(found.Impossible, respond.AtField(gen.Path, "/path/revision", p.String(), "correct the entry instead"))
		}
	}
	return found.Err()
}
