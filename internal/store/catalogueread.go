package store

import (
	"context"
	"fmt"

	"commensal/internal/species"

	"github.com/jackc/pgx/v5"
)

// batchSender is a pool, a connection or a transaction.
type batchSender interface {
	SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults
}

// catalogueReader puts a revision together from its tables.
type catalogueReader struct {
	catalogue species.Catalogue
	byID      map[string]*species.Species
	words     map[string]int // place of a word in catalogue.Words
	bases     map[string]species.Basis
}

// readCatalogue sends all queries in one round trip. Revisions never change, so
// the queries need no common snapshot.
func readCatalogue(ctx context.Context, db batchSender, revision int64) (species.Catalogue, error) {
	r := catalogueReader{byID: map[string]*species.Species{}, words: map[string]int{}, bases: map[string]species.Basis{}}
	steps := []struct {
		sql  string
		read func(pgx.Rows) error
	}{
		{`SELECT species_count FROM catalogue_revisions WHERE revision = $1`, r.header},
		{`SELECT id, scientific_name, family, coalesce(form_of, ''), form, body_form, guild, social, shape, colours, hybridises,
			sexed_trade, sold_as, needs, cautions, legal_note, note, basis
			FROM species WHERE revision = $1 ORDER BY position`, each(r.entry)},
		{`SELECT species_id, language, name FROM species_names WHERE revision = $1 ORDER BY species_id, position`, each(r.name)},
		{`SELECT species_id, synonym FROM species_synonyms WHERE revision = $1 ORDER BY species_id, position`, each(r.synonym)},
		{`SELECT species_id, field, reason FROM species_reviews WHERE revision = $1 ORDER BY species_id, position`, each(r.review)},
		{`SELECT species_id, sex, trait, low, typical, high, basis FROM species_traits WHERE revision = $1`, each(r.trait)},
		{`SELECT species_id, parameter, tolerated_low, preferred_low, preferred_high, tolerated_high, basis
			FROM species_water WHERE revision = $1`, each(r.water)},
		{`SELECT species_id, activity, surface, middle, bottom, basis FROM species_zones WHERE revision = $1`, each(r.zones)},
		{`SELECT word FROM group_words WHERE revision = $1 ORDER BY position`, each(r.word)},
		{`SELECT word, species_id FROM group_word_candidates WHERE revision = $1 ORDER BY word, position`, each(r.candidate)},
		{`SELECT key, citation FROM sources WHERE revision = $1 ORDER BY position`, each(r.source)},
	}
	batch := &pgx.Batch{}
	for _, step := range steps {
		batch.Queue(step.sql, revision).Query(step.read)
	}
	if err := db.SendBatch(ctx, batch).Close(); err != nil {
		return species.Catalogue{}, err
	}
	return r.catalogue, nil
}

// each reads all rows with one function.
func each(read func(pgx.Rows) error) func(pgx.Rows) error {
	return func(rows pgx.Rows) error {
		for rows.Next() {
			if err := read(rows); err != nil {
				return err
			}
		}
		return rows.Err()
	}
}

// header reads the revision's own row, which must exist.
func (r *catalogueReader) header(rows pgx.Rows) error {
	count, err := pgx.CollectExactlyOneRow(rows, pgx.RowTo[int])
	if err != nil {
		return err
	}
	if count > 0 {
		r.catalogue.Species = make([]*species.Species, 0, count)
	}
	return nil
}

func (r *catalogueReader) entry(rows pgx.Rows) error {
	var s species.Species
	var sold string
	err := rows.Scan(&s.ID, &s.ScientificName, &s.Family, &s.FormOf, &s.Form, &s.BodyForm, &s.Guild, &s.Social, &s.Shape, &s.Colours,
		&s.Hybridises, &s.SexedTrade, &sold, &s.Needs, &s.Cautions, &s.LegalNote, &s.Note, &s.Basis)
	if err != nil {
		return err
	}
	if s.SoldAs, err = sexByKey(sold); err != nil {
		return err
	}
	s.Colours, s.Hybridises, s.Needs, s.Cautions = list(s.Colours), list(s.Hybridises), list(s.Needs), list(s.Cautions)
	s.Basis = r.basis(string(s.Basis))
	r.byID[string(s.ID)] = &s
	r.catalogue.Species = append(r.catalogue.Species, &s)
	return nil
}

// list is nil for an empty list.
func list[T any](l []T) []T {
	if len(l) == 0 {
		return nil
	}
	return l
}

func (r *catalogueReader) name(rows pgx.Rows) error {
	var id string
	var n species.Name
	if err := rows.Scan(&id, &n.Language, &n.Text); err != nil {
		return err
	}
	s, err := r.of(id)
	if err == nil {
		s.Names = append(s.Names, n)
	}
	return err
}

func (r *catalogueReader) synonym(rows pgx.Rows) error {
	var id, text string
	if err := rows.Scan(&id, &text); err != nil {
		return err
	}
	s, err := r.of(id)
	if err == nil {
		s.Synonyms = append(s.Synonyms, text)
	}
	return err
}

func (r *catalogueReader) review(rows pgx.Rows) error {
	var id string
	var v species.Review
	if err := rows.Scan(&id, &v.Field, &v.Reason); err != nil {
		return err
	}
	s, err := r.of(id)
	if err == nil {
		s.Reviewed = append(s.Reviewed, v)
	}
	return err
}

func (r *catalogueReader) word(rows pgx.Rows) error {
	var w species.GroupWord
	if err := rows.Scan(&w.Word); err != nil {
		return err
	}
	r.words[w.Word] = len(r.catalogue.Words)
	r.catalogue.Words = append(r.catalogue.Words, w)
	return nil
}

func (r *catalogueReader) candidate(rows pgx.Rows) error {
	var word, id string
	if err := rows.Scan(&word, &id); err != nil {
		return err
	}
	w := &r.catalogue.Words[r.words[word]] // a foreign key promises the word
	w.Candidates = append(w.Candidates, species.ID(id))
	return nil
}

func (r *catalogueReader) source(rows pgx.Rows) error {
	var s species.Source
	if err := rows.Scan(&s.Key, &s.Citation); err != nil {
		return err
	}
	r.catalogue.Sources = append(r.catalogue.Sources, s)
	return nil
}

// of is the entry with the id, which a foreign key promises.
func (r *catalogueReader) of(id string) (*species.Species, error) {
	if s := r.byID[id]; s != nil {
		return s, nil
	}
	return nil, fmt.Errorf("rows of %q, which is not in the revision", id)
}

// basis keeps one copy of each text: a catalogue has tens of thousands of bases
// and a handful of different ones.
func (r *catalogueReader) basis(text string) species.Basis {
	if b, ok := r.bases[text]; ok {
		return b
	}
	r.bases[text] = species.Basis(text)
	return species.Basis(text)
}
