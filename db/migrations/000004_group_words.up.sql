-- Trade words that name several species ("pleco", "cory") never resolve on their
-- own: their candidates are listed, likeliest first.

CREATE TABLE group_words (
    revision bigint NOT NULL REFERENCES catalogue_revisions,
    position integer NOT NULL,
    word     text NOT NULL,
    PRIMARY KEY (revision, word),
    CONSTRAINT group_words_not_empty CHECK (word <> '')
);

COMMENT ON TABLE group_words IS 'Trade words shared by several entries.';
COMMENT ON COLUMN group_words.position IS 'Place in the list, from 0.';

CREATE TABLE group_word_candidates (
    revision   bigint NOT NULL,
    word       text NOT NULL,
    position   integer NOT NULL,
    species_id text NOT NULL,
    PRIMARY KEY (revision, word, position),
    CONSTRAINT group_word_candidates_word_exists FOREIGN KEY (revision, word) REFERENCES group_words (revision, word),
    CONSTRAINT group_word_candidates_species_exists FOREIGN KEY (revision, species_id) REFERENCES species (revision, id)
);

COMMENT ON TABLE group_word_candidates IS 'What a trade word may mean, likeliest first.';
