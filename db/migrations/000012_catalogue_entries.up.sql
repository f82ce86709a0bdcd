-- A revision is now a list of entries, each of which names the revision that its rows
-- were written in: what a revision does not change it shares with the one before, so
-- that correcting one value writes one entry and not a thousand. Every revision reads
-- as it did; their lists are made here from the rows that there are.

CREATE TABLE catalogue_entries (
    revision   bigint NOT NULL REFERENCES catalogue_revisions,
    species_id text NOT NULL,
    position   integer NOT NULL,
    written_in bigint NOT NULL,
    form_of    text,
    PRIMARY KEY (revision, species_id),
    UNIQUE (revision, position),
    CONSTRAINT species_parent_exists FOREIGN KEY (revision, form_of) REFERENCES catalogue_entries (revision, species_id),
    CONSTRAINT species_not_its_own_parent CHECK (form_of <> species_id),
    CONSTRAINT catalogue_entries_species_exists FOREIGN KEY (written_in, species_id) REFERENCES species (revision, id),
    CONSTRAINT catalogue_entries_written_before CHECK (written_in <= revision)
);

-- The history of one entry.
CREATE INDEX catalogue_entries_of_species ON catalogue_entries (species_id, revision);

COMMENT ON TABLE catalogue_entries IS 'Which entries a revision has, in which order, and where the rows of each are.';
COMMENT ON COLUMN catalogue_entries.position IS 'Place in the catalogue, from 0.';
COMMENT ON COLUMN catalogue_entries.written_in IS 'The revision under which species and the tables of its values have the rows of the entry.';
COMMENT ON COLUMN catalogue_entries.form_of IS 'The entry this is a trade form of; null for a species.';

INSERT INTO catalogue_entries (revision, species_id, position, written_in, form_of)
SELECT revision, id, position, revision, form_of FROM species;

ALTER TABLE group_word_candidates
    DROP CONSTRAINT group_word_candidates_species_exists,
    ADD CONSTRAINT group_word_candidates_species_exists FOREIGN KEY (revision, species_id) REFERENCES catalogue_entries (revision, species_id);

ALTER TABLE species DROP COLUMN position, DROP COLUMN form_of;

COMMENT ON COLUMN species.revision IS 'The revision that wrote these rows. Later ones share them, see catalogue_entries.';

-- Who made a revision. Keys are never deleted, but belong to organizations, whose rows a
-- foreign key would have to see.
ALTER TABLE catalogue_revisions ADD COLUMN key_id text;

COMMENT ON COLUMN catalogue_revisions.key_id IS 'The key of the curator who made it over the API; null for a load from the command line.';
