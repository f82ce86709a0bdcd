-- Unusual values that somebody who knows the fish looked at and found right, with the
-- reason. They change no answer; they are kept so that a catalogue that leaves the
-- database can be corrected and verified like the one that went in.

CREATE TABLE species_reviews (
    revision   bigint NOT NULL,
    species_id text NOT NULL,
    position   integer NOT NULL,
    field      text NOT NULL,
    reason     text NOT NULL,
    PRIMARY KEY (revision, species_id, position),
    CONSTRAINT species_reviews_species_exists FOREIGN KEY (revision, species_id) REFERENCES species (revision, id),
    CONSTRAINT species_reviews_not_empty CHECK (field <> '' AND reason <> '')
);

COMMENT ON TABLE species_reviews IS 'Values that verification calls unusual and somebody found right.';
COMMENT ON COLUMN species_reviews.field IS 'What is unusual, as catalogue verify names it, for example territory.';
