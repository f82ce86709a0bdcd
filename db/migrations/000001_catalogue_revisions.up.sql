-- The catalogue is kept as numbered revisions that never change once written: a
-- recorded check names the revision it was decided on and can be replayed with
-- exactly that data. The current revision is the one with the highest number;
-- going back to older content is a new revision with that content.

CREATE TABLE catalogue_revisions (
    revision      bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    content_hash  bytea NOT NULL,
    species_count integer NOT NULL,
    note          text NOT NULL DEFAULT '',
    created_at    timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT catalogue_revisions_hash_is_sha256 CHECK (octet_length(content_hash) = 32),
    CONSTRAINT catalogue_revisions_count_not_negative CHECK (species_count >= 0)
);

COMMENT ON TABLE catalogue_revisions IS 'One row per load of the catalogue that changed it. The highest revision is the current one. Numbers may have gaps.';
COMMENT ON COLUMN catalogue_revisions.content_hash IS 'SHA-256 of the canonical form of the content; loading the same content again makes no new revision.';
COMMENT ON COLUMN catalogue_revisions.species_count IS 'Number of entries, for listings.';
COMMENT ON COLUMN catalogue_revisions.note IS 'Why it was loaded, in words.';

CREATE TABLE sources (
    revision bigint NOT NULL REFERENCES catalogue_revisions,
    position integer NOT NULL,
    key      text NOT NULL,
    citation text NOT NULL,
    PRIMARY KEY (revision, key),
    CONSTRAINT sources_key_not_empty CHECK (key <> '')
);

COMMENT ON TABLE sources IS 'Publications that catalogue values cite as source:KEY.';
COMMENT ON COLUMN sources.position IS 'Place in the list, from 0.';
