-- What organizations sell: articles with numbers of their own, and which kinds of the catalogue each may be. Uploads
-- replace the whole list, patches settle what a name alone does not say.
--
-- What an article is said to be and what that meant when it was written stand side by side: the text is
-- read anew wherever an article is used, the kinds are there to find what is on offer.

CREATE TABLE articles (
    organization_id uuid NOT NULL REFERENCES organizations,
    article         text COLLATE "C" NOT NULL,
    name            text NOT NULL,
    species         text NOT NULL,
    settled         boolean NOT NULL,
    price_class     text NOT NULL,
    in_stock        integer,
    note            text NOT NULL,
    match           text NOT NULL,
    kinds           text[] NOT NULL,
    broader         integer NOT NULL,
    good            text NOT NULL,
    version         bigint NOT NULL DEFAULT 1,
    created_at      timestamptz NOT NULL DEFAULT now(),
    updated_at      timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (organization_id, article),
    CONSTRAINT articles_number_length CHECK (char_length(article) BETWEEN 1 AND 60),
    CONSTRAINT articles_name_length CHECK (char_length(name) <= 200),
    CONSTRAINT articles_species_length CHECK (char_length(species) <= 200),
    CONSTRAINT articles_named CHECK (name <> '' OR species <> ''),
    CONSTRAINT articles_price_class_length CHECK (char_length(price_class) <= 40),
    CONSTRAINT articles_note_length CHECK (char_length(note) <= 500),
    CONSTRAINT articles_in_stock_possible CHECK (in_stock BETWEEN 0 AND 1000000),
    CONSTRAINT articles_match_known CHECK (match IN ('matched', 'ambiguous', 'unknown', 'not_judged')),
    CONSTRAINT articles_kinds_fit CHECK (CASE match WHEN 'matched' THEN cardinality(kinds) = 1 WHEN 'ambiguous' THEN cardinality(kinds) > 1 ELSE cardinality(kinds) = 0 END),
    CONSTRAINT articles_broader_possible CHECK (broader >= 0)
);

-- What is on offer: the lowest number of each kind.
CREATE INDEX articles_on_offer ON articles (organization_id, (kinds[1]), article) WHERE match = 'matched' AND in_stock IS DISTINCT FROM 0;

COMMENT ON TABLE articles IS 'What an organization sells, fish and other things.';
COMMENT ON COLUMN articles.article IS 'The organization''s own number for it. Its order is that of bytes, as the program''s is.';
COMMENT ON COLUMN articles.name IS 'As the till has it; empty where only the species is given.';
COMMENT ON COLUMN articles.species IS 'Which kind it is, apart from the name; empty where the name says it.';
COMMENT ON COLUMN articles.settled IS 'Whether the species came by a patch: then an upload with the same name and no species of its own leaves it.';
COMMENT ON COLUMN articles.in_stock IS 'How many; null where that is not known and it is in stock.';
COMMENT ON COLUMN articles.kinds IS 'Ids in the catalogue that it may mean, the likeliest first, as of when it was written.';
COMMENT ON COLUMN articles.broader IS 'How many more kinds it may mean.';
COMMENT ON COLUMN articles.good IS 'What it is, where it is no fish of the catalogue; empty where it is one.';
COMMENT ON COLUMN articles.version IS 'Goes up with every change; the entity tag.';

ALTER TABLE articles ENABLE ROW LEVEL SECURITY;
ALTER TABLE articles FORCE ROW LEVEL SECURITY;
CREATE POLICY articles_own ON articles TO commensal_service USING (organization_id = current_organization());
GRANT SELECT, INSERT, UPDATE, DELETE ON articles TO commensal_service;

INSERT INTO quotas (kind, usual) VALUES ('articles', 50000); -- twice the whole list of a large shop

CREATE TRIGGER articles_added AFTER INSERT ON articles
    REFERENCING NEW TABLE AS added FOR EACH STATEMENT EXECUTE FUNCTION count_added_rows('articles');
CREATE TRIGGER articles_removed AFTER DELETE ON articles
    REFERENCING OLD TABLE AS removed FOR EACH STATEMENT EXECUTE FUNCTION count_removed_rows('articles');
