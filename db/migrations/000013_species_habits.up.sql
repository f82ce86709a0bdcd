-- How an animal feeds, at which hours, and how usual it is in the trade. Entries that were
-- written before have none of the three until the next load of the catalogue.

ALTER TABLE species
    ADD COLUMN feeds_by text NOT NULL DEFAULT '',
    ADD COLUMN active_hours text NOT NULL DEFAULT '',
    ADD COLUMN availability text NOT NULL DEFAULT '',
    ADD CONSTRAINT species_feeds_by_known CHECK (feeds_by IN ('', 'graze_algae', 'rasp_wood', 'browse_plants', 'comb_detritus',
        'filter', 'sift', 'probe', 'pick', 'pick_plankton', 'pick_surface', 'crush_shells', 'bite_pieces', 'seize', 'ambush',
        'chase', 'prowl', 'scavenge')),
    ADD CONSTRAINT species_active_hours_known CHECK (active_hours IN ('', 'day', 'twilight', 'night', 'any')),
    ADD CONSTRAINT species_availability_known CHECK (availability IN ('', 'every_shop', 'many_shops', 'specialist', 'rare'));

COMMENT ON COLUMN species.feeds_by IS 'The main way of feeding in the tank. Empty when not known.';
COMMENT ON COLUMN species.active_hours IS 'When it is awake and feeds or hunts. Empty when not known.';
COMMENT ON COLUMN species.availability IS 'How usual it is in the trade. Empty when not known.';
