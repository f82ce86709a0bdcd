-- Removes the entries and their names. The revisions stay, with nothing in them.

DROP TABLE species_synonyms;
DROP TABLE species_names;
DROP TABLE species;

-- The content is no longer what was hashed: the next load of the catalogue must not
-- take the revision for whole.
UPDATE catalogue_revisions SET content_hash = decode(repeat('00', 32), 'hex');
