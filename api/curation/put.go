package curation

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/lookups"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/species"
	catalogueentry "commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// maxTold bounds the problems that one answer lists.
const maxTold = 100

// SaveSpecies makes or corrects an entry of the catalogue.
func (s *Curation) SaveSpecies(c echo.Context, name string, p gen.SaveSpeciesParams) error {
	ctx := c.Request().Context()
	in, err := validate.Body[gen.SpeciesWrite](c)
	if err != nil {
		return err
	}
	base, err := s.latest(ctx)
	if err != nil {
		return err
	}
	id := species.ID(name)
	_, was := base.find(id)
	if err := s.mayPut(base, id, was != nil, p); err != nil {
		return err
	}
	entry := readEntry(in)
	entry.mustBe(id, in.Id)
	entry.keepMarks(was)
	entry.citations(base.catalogue.Sources, was)
	if err := entry.found.Err(); err != nil {
		return err
	}
	after := newEdition(store.Revision{}, base.with(entry.species, entry.sources))
	found := news(base.problems(), after.problems(), id)
	if err := entry.refused(found); err != nil {
		return err
	}
	changed, err := s.publish(c, base, after, reasonOr(p.Reason, string(id)+": corrected over the API"))
	if err != nil {
		return lost(err, p.IfMatch)
	}
	return respond.To(c).Send(s.entryReply(after, was, entry, changed, found))
}

// mayPut holds the preconditions against the entry as it is.
func (s *Curation) mayPut(base *edition, id species.ID, exists bool, p gen.SaveSpeciesParams) error {
	switch {
	case p.IfMatch == nil && p.IfNoneMatch == nil:
		return &respond.Fault{Slug: respond.PreconditionRequired, Detail: "Send If-Match with the ETag of the entry that you have read, or If-None-Match: * to make a new one."}
	case p.IfNoneMatch != nil && exists:
		return &respond.Fault{Slug: respond.PreconditionFailed, Detail: "There is an entry of this id already: read it, and send its ETag in If-Match."}
	case p.IfMatch != nil:
		return s.mayChange(base, id, exists, *p.IfMatch)
	}
	return nil
}

// mayChange holds If-Match against the entry as it is.
func (s *Curation) mayChange(base *edition, id species.ID, exists bool, ifMatch string) error {
	if !exists {
		return &respond.Fault{Slug: respond.PreconditionFailed, Detail: "There is no entry of this id: send If-None-Match: * to make one."}
	}
	tag, err := s.entryTag(base.Number, id)
	if err == nil && !respond.MatchesStrongly([]string{ifMatch}, tag) {
		err = respond.StoreFault(store.ErrStale)
	}
	return err
}

// entryTag is the entity tag of GetSpecies under a revision.
func (s *Curation) entryTag(revision int64, id species.ID) (string, error) {
	book, err := s.books.Book()
	if err != nil {
		return "", err
	}
	return s.books.TagUnder(book, revision, lookups.SpeciesPath(id)), nil
}

// lost is the fault of a change that came too late: who named the state that was meant is
// told that it is no more.
func lost(err error, ifMatch *string) error {
	var f *respond.Fault
	if errors.As(err, &f) && f.Slug == respond.CatalogueMoved && ifMatch != nil && strings.TrimSpace(*ifMatch) != "*" {
		return respond.StoreFault(store.ErrStale)
	}
	return err
}

// mustBe refuses an entry that belongs under another id.
func (r *entryReader) mustBe(id species.ID, given *string) {
	if given != nil && *given != string(id) {
		r.refuse("/id", "The id in the body is not the one in the path.", "leave it out; it follows from scientific_name and form")
	}
	if is := r.species.ID; is != id {
		r.refuse("/scientific_name", "The id of this name is "+strconv.Quote(string(is))+", not "+strconv.Quote(validate.Printable(string(id)))+".",
			"put it at /v1/species/"+string(is)+" with the old name among its synonyms, and delete the old entry")
	}
}

// citations refuses sources that nothing cites, and other words for a key that stands for
// a publication already; it leaves the new ones.
//
// A source that the entry was compared with, and whose marks a change took away, may still be told along.
func (r *entryReader) citations(known []species.Source, was *species.Species) {
	have := make(map[string]string, len(known))
	for _, s := range known {
		have[s.Key] = s.Citation
	}
	var fresh []species.Source
	for _, s := range r.sources {
		at := r.spots["sources "+s.Key]
		citation, there := have[s.Key]
		switch {
		case !r.species.Cites(s.Key) && was != nil && was.Cites(s.Key):
		case !r.species.Cites(s.Key):
			r.refuse(at, "Nothing in the entry cites "+strconv.Quote(validate.Printable(s.Key))+".", "leave it out, or write source:"+validate.Printable(s.Key)+" where it belongs")
		case there && citation != s.Citation:
			r.refuse(at+"/citation", "The key stands for another citation already: "+citation, "choose another key")
		case !there:
			fresh = append(fresh, s)
		}
	}
	r.sources = fresh
}

// refused is the fault of a catalogue with errors.
func (r *entryReader) refused(found []verify.Problem) error {
	for _, p := range found {
		if p.Severity == verify.SeverityError && len(r.found.Impossible) < maxTold {
			pointer, detail := r.place(p)
			r.refuse(pointer, detail, "")
		}
	}
	return r.found.Err()
}

// place is where in the body a problem is, and its words. A problem of another entry, or of
// a trade word, comes of the entry as a whole.
func (r *entryReader) place(p verify.Problem) (pointer, detail string) {
	detail = p.Field + ": " + p.Detail
	switch _, ours := r.spots[p.Field]; {
	case p.Species == r.species.ID, p.Species == "" && ours:
		return r.item(r.pointer(p.Field), p.Detail), detail
	case p.Species != "":
		detail = string(p.Species) + ": " + detail
	}
	return "", detail
}

// publish makes an edition the current one in place of the one it was made from.
func (s *Curation) publish(c echo.Context, base, after *edition, note string) (changed bool, err error) {
	ctx := c.Request().Context()
	_, err = transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		after.Revision, changed, err = tx.ChangeCatalogue(ctx, store.Change{Catalogue: after.catalogue, Note: note, KeyID: transact.Who(c).Key,
			OnTopOf: base.Number, Like: store.Content{Revision: base.Number, Catalogue: base.catalogue}})
		return nil, err
	})
	if err == nil && changed {
		s.published(after)
	}
	return changed, err
}

// published caches an edition for the next change, and tells who answers lookups.
func (s *Curation) published(e *edition) {
	s.editions.Add(e.ContentHash, e)
	if s.tell != nil {
		s.tell(e.Number, e.catalogue)
	}
}

func reasonOr(reason *string, otherwise string) string {
	if reason == nil {
		return otherwise
	}
	return *reason
}

// entryReply tells of the entry as it is now.
func (s *Curation) entryReply(now *edition, was *species.Species, in *entryReader, changed bool, found []verify.Problem) (*respond.Reply, error) {
	id := in.species.ID
	tag, err := s.entryTag(now.Number, id)
	if err != nil {
		return nil, err
	}
	out := gen.SpeciesChange{Revision: revisionWire(true)(now.Revision), Changed: changed, Changes: changesOf(was, in.species), ToReview: in.remarks(found),
		Species: lookups.SpeciesEntry(now.Number, now.catalogue.Sources, in.species)}
	r, err := respond.JSON(out)
	if err != nil {
		return nil, err
	}
	r.ETag, r.Caching = tag, respond.Revalidate
	if was == nil {
		r.Status, r.Location = http.StatusCreated, lookups.SpeciesPath(id)
	}
	return r, nil
}

// remarks are what is unusual and nobody has vouched for.
func (r *entryReader) remarks(found []verify.Problem) []gen.ReviewRemark {
	out := []gen.ReviewRemark{}
	for _, p := range found {
		if p.Severity != verify.SeverityReview || len(out) == maxTold {
			continue
		}
		remark := gen.ReviewRemark{Species: string(p.Species), Field: p.Field, Detail: p.Detail}
		if p.Species == r.species.ID {
			remark.Pointer = wire.Optional(r.item(r.pointer(p.Field), p.Detail))
		}
		out = append(out, remark)
	}
	return out
}

// keepMarks keeps what published sources agree with, where the values are still the same. Marks are made by
// comparing, not by writing them.
func (r *entryReader) keepMarks(was *species.Species) {
	if was == nil {
		return
	}
	r.species.Checked = was.Checked
	r.species.Checked = catalogueentry.MarksThatHold(r.species)
}
