package cataloguerows

import (
	"context"
	"fmt"

	"commensal/internal/species"

	"github.com/jackc/pgx/v5"
)

// BatchSender is a pool, a connection or a transaction.
type BatchSender interface {
	SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults
}

// reader puts a revision together from its tables.
type reader struct {
	catalogue species.Catalogue
	byKey     map[string]*species.Species // the entries, by what tells them apart
	words     map[string]int              // place of a word in catalogue.Words
	bases     map[string]species.Basis
}

func newReader() *reader {
	return &reader{byKey: map[string]*species.Species{}, words: map[string]int{}, bases: map[string]species.Basis{}}
}

// step is one query and what reads its rows.
type step struct {
	sql  string
	read func(pgx.Rows) error
}

// Read reads the catalogue of a revision. It sends all queries in one round trip. Revisions never change, so
// the queries need no common snapshot.
func Read(ctx context.Context, db BatchSender, revision int64) (species.Catalogue, error) {
	r := newReader()
	steps := append([]step{{`SELECT species_count FROM catalogue_revisions WHERE revision = $1`, r.header}},
		r.entrySteps("e.species_id", "e.revision = $1")...)
	if err := send(ctx, db, append(steps, r.listSteps()...), revision); err != nil {
		return species.Catalogue{}, err
	}
	return r.catalogue, nil
}

// ReadEntries reads the entries of the revisions that a condition is true of, by key: both are SQL on
// the table e of entries, and the condition's parameters are args.
func ReadEntries(ctx context.Context, db BatchSender, key, condition string, args ...any) (map[string]*species.Species, error) {
	r := newReader()
	if err := send(ctx, db, r.entrySteps(key, condition), args...); err != nil {
		return nil, err
	}
	return r.byKey, nil
}

func send(ctx context.Context, db BatchSender, steps []step, args ...any) error {
	batch := &pgx.Batch{}
	for _, step := range steps {
		batch.Queue(step.sql, args...).Query(step.read)
	}
	return db.SendBatch(ctx, batch).Close()
}

// entrySteps read the entries e of revisions that a condition is true of. key is what
// tells them apart.
func (r *reader) entrySteps(key, condition string) []step {
	from := func(table, columns, order string) string {
		return `SELECT ` + key + `, ` + columns + ` FROM catalogue_entries e JOIN ` + table + ` v
			ON v.revision = e.written_in AND v.species_id = e.species_id WHERE ` + condition + order
	}
	const inOrder = ` ORDER BY e.revision, e.species_id, v.position`
	return []step{
		{`SELECT ` + key + `, s.id, scientific_name, family, coalesce(e.form_of, ''), form, body_form, guild, feeds_by, active_hours, social, shape, colours, hybridises,
			sexed_trade, sold_as, availability, needs, cautions, legal_note, note, basis, checked
			FROM catalogue_entries e JOIN species s ON s.revision = e.written_in AND s.id = e.species_id
			WHERE ` + condition + ` ORDER BY e.revision, e.position`, each(r.entry)},
		{from("species_names", `v.language, v.name`, inOrder), each(r.name)},
		{from("species_synonyms", `v.synonym`, inOrder), each(r.synonym)},
		{from("species_reviews", `v.field, v.reason`, inOrder), each(r.review)},
		{from("species_traits", `v.sex, v.trait, v.low, v.typical, v.high, v.basis`, ``), each(r.trait)},
		{from("species_water", `v.parameter, v.tolerated_low, v.preferred_low, v.preferred_high, v.tolerated_high, v.basis`, ``), each(r.water)},
		{from("species_zones", `v.activity, v.surface, v.middle, v.bottom, v.basis`, ``), each(r.zones)},
	}
}

// listSteps read the words and sources of a revision.
func (r *reader) listSteps() []step {
	return []step{
		{`SELECT word FROM group_words WHERE revision = $1 ORDER BY position`, each(r.word)},
		{`SELECT word, species_id FROM group_word_candidates WHERE revision = $1 ORDER BY word, position`, each(r.candidate)},
		{`SELECT key, citation FROM sources WHERE revision = $1 ORDER BY position`, each(r.source)},
	}
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
func (r *reader) header(rows pgx.Rows) error {
	count, err := pgx.CollectExactlyOneRow(rows, pgx.RowTo[int])
	if err != nil {
		return err
	}
	if count > 0 {
		r.catalogue.Species = make([]*species.Species, 0, count)
	}
	return nil
}

func (r *reader) entry(rows pgx.Rows) error {
	var s species.Species
	var key, sold string
	var marks []string
	err := rows.Scan(&key, &s.ID, &s.ScientificName, &s.Family, &s.FormOf, &s.Form, &s.BodyForm, &s.Guild, &s.FeedsBy, &s.Active, &s.Social, &s.Shape, &s.Colours,
		&s.Hybridises, &s.SexedTrade, &sold, &s.Available, &s.Needs, &s.Cautions, &s.LegalNote, &s.Note, &s.Basis, &marks)
	if err != nil {
		return err
	}
	if s.SoldAs, err = sexByKey(sold); err != nil {
		return err
	}
	s.Colours, s.Hybridises, s.Needs, s.Cautions = list(s.Colours), list(s.Hybridises), list(s.Needs), list(s.Cautions)
	if s.Checked, err = readMarks(marks); err != nil {
		return fmt.Errorf("entry %s: %w", s.ID, err)
	}
	s.Basis = r.basis(string(s.Basis))
	r.byKey[key] = &s
	r.catalogue.Species = append(r.catalogue.Species, &s)
	return nil
}

// readMarks reads marks of agreement as they are written.
func readMarks(texts []string) ([]species.Mark, error) {
	var out []species.Mark
	for _, text := range texts {
		m, ok := species.ParseMark(text)
		if !ok {
			return nil, fmt.Errorf("%q is no mark of agreement", text)
		}
		out = append(out, m)
	}
	return out, nil
}

// list is nil for an empty list.
func list[T any](l []T) []T {
	if len(l) == 0 {
		return nil
	}
	return l
}

func (r *reader) name(rows pgx.Rows) error {
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

func (r *reader) synonym(rows pgx.Rows) error {
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

func (r *reader) review(rows pgx.Rows) error {
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

func (r *reader) word(rows pgx.Rows) error {
	var w species.GroupWord
	if err := rows.Scan(&w.Word); err != nil {
		return err
	}
	r.words[w.Word] = len(r.catalogue.Words)
	r.catalogue.Words = append(r.catalogue.Words, w)
	return nil
}

func (r *reader) candidate(rows pgx.Rows) error {
	var word, id string
	if err := rows.Scan(&word, &id); err != nil {
		return err
	}
	w := &r.catalogue.Words[r.words[word]] // a foreign key promises the word
	w.Candidates = append(w.Candidates, species.ID(id))
	return nil
}

func (r *reader) source(rows pgx.Rows) error {
	var s species.Source
	if err := rows.Scan(&s.Key, &s.Citation); err != nil {
		return err
	}
	r.catalogue.Sources = append(r.catalogue.Sources, s)
	return nil
}

// of is the entry with the id, which a foreign key promises.
func (r *reader) of(id string) (*species.Species, error) {
	if s := r.byKey[id]; s != nil {
		return s, nil
	}
	return nil, fmt.Errorf("rows of %q, which is not in the revision", id)
}

// basis keeps one copy of each text: a catalogue has tens of thousands of bases
// and a handful of different ones.
func (r *reader) basis(text string) species.Basis {
	if b, ok := r.bases[text]; ok {
		return b
	}
	r.bases[text] = species.Basis(text)
	return species.Basis(text)
}
