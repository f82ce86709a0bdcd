-- Removes the trade words; they come back with the next load of the catalogue.

DROP TABLE group_word_candidates;
DROP TABLE group_words;

-- The content is no longer what was hashed: the next load of the catalogue must not
-- take the revision for whole.
UPDATE catalogue_revisions SET content_hash = decode(repeat('00', 32), 'hex');
