-- The words of an entry: what it is called, what form and habits it has, what it
-- needs and what to be careful about. Its numbers follow in the next migration.
-- Lists whose order or repetition carries no meaning of its own are arrays; names
-- are rows, because people search them.

CREATE TABLE species (
    revision        bigint NOT NULL REFERENCES catalogue_revisions,
    id              text NOT NULL,
    position        integer NOT NULL,
    scientific_name text NOT NULL,
    family          text NOT NULL,
    form_of         text,
    form            text NOT NULL,
    body_form       text NOT NULL,
    guild           text NOT NULL,
    social          text NOT NULL,
    shape           text NOT NULL,
    colours         text[] NOT NULL,
    hybridises      text[] NOT NULL,
    sexed_trade     boolean NOT NULL,
    sold_as         text NOT NULL,
    needs           text[] NOT NULL,
    cautions        text[] NOT NULL,
    legal_note      text NOT NULL,
    note            text NOT NULL,
    basis           text NOT NULL,
    PRIMARY KEY (revision, id),
    UNIQUE (revision, position),
    CONSTRAINT species_parent_exists FOREIGN KEY (revision, form_of) REFERENCES species (revision, id),
    CONSTRAINT species_not_its_own_parent CHECK (form_of <> id),
    CONSTRAINT species_id_is_hyphenated CHECK (id ~ '^[a-z0-9]+(-[a-z0-9]+)*$'),
    CONSTRAINT species_body_form_known CHECK (body_form IN ('', 'eel_like', 'elongated', 'fusiform', 'short_deep')),
    CONSTRAINT species_guild_known CHECK (guild IN ('', 'piscivore', 'predator', 'invertivore', 'planktivore', 'omnivore',
        'herbivore', 'algae_grazer', 'detritivore', 'fin_and_scale', 'molluscivore')),
    CONSTRAINT species_social_known CHECK (social IN ('', 'solitary', 'single', 'pair', 'harem', 'group', 'colony')),
    CONSTRAINT species_sold_as_known CHECK (sold_as IN ('any', 'male', 'female'))
);

COMMENT ON TABLE species IS 'Catalogue entries: species, and trade forms kept apart because their traits differ.';
COMMENT ON COLUMN species.id IS 'Scientific name in lower case with hyphens, with the form appended for a trade form.';
COMMENT ON COLUMN species.position IS 'Place in the catalogue, from 0.';
COMMENT ON COLUMN species.form_of IS 'The entry this is a trade form of; null for a species.';
COMMENT ON COLUMN species.form IS 'The trade form, empty for a species.';
COMMENT ON COLUMN species.body_form IS 'Sets the length-weight prior (Froese, Thorson & Reyes 2014). Empty when not known.';
COMMENT ON COLUMN species.colours IS 'What another fish sees: ground colours and patterns.';
COMMENT ON COLUMN species.hybridises IS 'Genera or full scientific names it crosses with.';
COMMENT ON COLUMN species.sexed_trade IS 'Sexes are told apart in the trade.';
COMMENT ON COLUMN species.sold_as IS 'The sex customarily sold and kept; any for both.';
COMMENT ON COLUMN species.basis IS 'Where the words of the entry come from: memory, or source:KEY. Every number has its own.';

CREATE TABLE species_names (
    revision   bigint NOT NULL,
    species_id text NOT NULL,
    position   integer NOT NULL,
    language   text NOT NULL,
    name       text NOT NULL,
    PRIMARY KEY (revision, species_id, position),
    CONSTRAINT species_names_species_exists FOREIGN KEY (revision, species_id) REFERENCES species (revision, id),
    CONSTRAINT species_names_not_empty CHECK (name <> '')
);

COMMENT ON TABLE species_names IS 'Vernacular names. The first in a language is the one shown.';
COMMENT ON COLUMN species_names.language IS 'BCP 47 tag, for example en.';

CREATE TABLE species_synonyms (
    revision   bigint NOT NULL,
    species_id text NOT NULL,
    position   integer NOT NULL,
    synonym    text NOT NULL,
    PRIMARY KEY (revision, species_id, position),
    CONSTRAINT species_synonyms_species_exists FOREIGN KEY (revision, species_id) REFERENCES species (revision, id),
    CONSTRAINT species_synonyms_not_empty CHECK (synonym <> '')
);

COMMENT ON TABLE species_synonyms IS 'Scientific names under which an entry was or is also known.';
