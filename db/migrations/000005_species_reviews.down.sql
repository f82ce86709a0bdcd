-- Removes the reviews. The values they speak of stay.

DROP TABLE species_reviews;

-- The content is no longer what was hashed: the next load of the catalogue must not
-- take the revision for whole.
UPDATE catalogue_revisions SET content_hash = decode(repeat('00', 32), 'hex');
