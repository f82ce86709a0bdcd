-- Removes the numbers. The entries stay, with every value unknown.

DROP TABLE species_zones;
DROP TABLE species_water;
DROP TABLE species_traits;

-- The content is no longer what was hashed: the next load of the catalogue must not
-- take the revision for whole.
UPDATE catalogue_revisions SET content_hash = decode(repeat('00', 32), 'hex');
