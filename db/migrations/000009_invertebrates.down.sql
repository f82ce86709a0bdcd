-- Takes the words for invertebrates away; entries that use them keep no word at all
-- until the next load of the catalogue brings them back.

UPDATE species SET body_form = '' WHERE body_form IN ('shrimp', 'crayfish', 'crab', 'snail', 'clam');
UPDATE species SET guild = '' WHERE guild IN ('scavenger', 'filter_feeder');

ALTER TABLE species
    DROP CONSTRAINT species_body_form_known,
    ADD CONSTRAINT species_body_form_known CHECK (body_form IN ('', 'eel_like', 'elongated', 'fusiform', 'short_deep')),
    DROP CONSTRAINT species_guild_known,
    ADD CONSTRAINT species_guild_known CHECK (guild IN ('', 'piscivore', 'predator', 'invertivore', 'planktivore', 'omnivore',
        'herbivore', 'algae_grazer', 'detritivore', 'fin_and_scale', 'molluscivore'));

COMMENT ON COLUMN species.body_form IS 'Sets the length-weight prior (Froese, Thorson & Reyes 2014). Empty when not known.';

-- The content is no longer what was hashed: the next load of the catalogue must not
-- take the revision for whole.
UPDATE catalogue_revisions SET content_hash = decode(repeat('00', 32), 'hex');
