-- Every revision gets rows of its own again.

ALTER TABLE catalogue_revisions DROP COLUMN key_id;

ALTER TABLE species ADD COLUMN position integer, ADD COLUMN form_of text;

UPDATE species s SET position = e.position, form_of = e.form_of
FROM catalogue_entries e WHERE e.revision = s.revision AND e.species_id = s.id;

INSERT INTO species (revision, id, position, scientific_name, family, form_of, form, body_form, guild, social, shape, colours, hybridises,
    sexed_trade, sold_as, needs, cautions, legal_note, note, basis)
SELECT e.revision, s.id, e.position, s.scientific_name, s.family, e.form_of, s.form, s.body_form, s.guild, s.social, s.shape, s.colours, s.hybridises,
    s.sexed_trade, s.sold_as, s.needs, s.cautions, s.legal_note, s.note, s.basis
FROM catalogue_entries e JOIN species s ON s.revision = e.written_in AND s.id = e.species_id
WHERE e.written_in <> e.revision;

INSERT INTO species_names (revision, species_id, position, language, name)
SELECT e.revision, v.species_id, v.position, v.language, v.name
FROM catalogue_entries e JOIN species_names v ON v.revision = e.written_in AND v.species_id = e.species_id
WHERE e.written_in <> e.revision;

INSERT INTO species_synonyms (revision, species_id, position, synonym)
SELECT e.revision, v.species_id, v.position, v.synonym
FROM catalogue_entries e JOIN species_synonyms v ON v.revision = e.written_in AND v.species_id = e.species_id
WHERE e.written_in <> e.revision;

INSERT INTO species_reviews (revision, species_id, position, field, reason)
SELECT e.revision, v.species_id, v.position, v.field, v.reason
FROM catalogue_entries e JOIN species_reviews v ON v.revision = e.written_in AND v.species_id = e.species_id
WHERE e.written_in <> e.revision;

INSERT INTO species_traits (revision, species_id, sex, trait, low, typical, high, unit, basis)
SELECT e.revision, v.species_id, v.sex, v.trait, v.low, v.typical, v.high, v.unit, v.basis
FROM catalogue_entries e JOIN species_traits v ON v.revision = e.written_in AND v.species_id = e.species_id
WHERE e.written_in <> e.revision;

INSERT INTO species_water (revision, species_id, parameter, tolerated_low, preferred_low, preferred_high, tolerated_high, unit, basis)
SELECT e.revision, v.species_id, v.parameter, v.tolerated_low, v.preferred_low, v.preferred_high, v.tolerated_high, v.unit, v.basis
FROM catalogue_entries e JOIN species_water v ON v.revision = e.written_in AND v.species_id = e.species_id
WHERE e.written_in <> e.revision;

INSERT INTO species_zones (revision, species_id, activity, surface, middle, bottom, basis)
SELECT e.revision, v.species_id, v.activity, v.surface, v.middle, v.bottom, v.basis
FROM catalogue_entries e JOIN species_zones v ON v.revision = e.written_in AND v.species_id = e.species_id
WHERE e.written_in <> e.revision;

ALTER TABLE group_word_candidates
    DROP CONSTRAINT group_word_candidates_species_exists,
    ADD CONSTRAINT group_word_candidates_species_exists FOREIGN KEY (revision, species_id) REFERENCES species (revision, id);

DROP TABLE catalogue_entries;

ALTER TABLE species
    ALTER COLUMN position SET NOT NULL,
    ADD CONSTRAINT species_revision_position_key UNIQUE (revision, position),
    ADD CONSTRAINT species_parent_exists FOREIGN KEY (revision, form_of) REFERENCES species (revision, id),
    ADD CONSTRAINT species_not_its_own_parent CHECK (form_of <> id);

COMMENT ON COLUMN species.revision IS NULL;
COMMENT ON COLUMN species.position IS 'Place in the catalogue, from 0.';
COMMENT ON COLUMN species.form_of IS 'The entry this is a trade form of; null for a species.';
