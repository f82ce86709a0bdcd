-- Shrimps, crayfish, crabs, snails and clams share tanks with fish: the forms of body and
-- the guilds of feeding that fish do not have. No data moves.

ALTER TABLE species
    DROP CONSTRAINT species_body_form_known,
    ADD CONSTRAINT species_body_form_known CHECK (body_form IN ('', 'eel_like', 'elongated', 'fusiform', 'short_deep',
        'shrimp', 'crayfish', 'crab', 'snail', 'clam')),
    DROP CONSTRAINT species_guild_known,
    ADD CONSTRAINT species_guild_known CHECK (guild IN ('', 'piscivore', 'predator', 'invertivore', 'planktivore', 'omnivore',
        'herbivore', 'algae_grazer', 'detritivore', 'fin_and_scale', 'molluscivore', 'scavenger', 'filter_feeder'));

COMMENT ON COLUMN species.body_form IS 'Sets the length-weight prior (of fish: Froese, Thorson & Reyes 2014) and tells fish from invertebrates. Empty when not known.';
