-- Which values published sources agree with. Entries that were written before have no
-- marks until the next load of the catalogue.

ALTER TABLE species ADD COLUMN checked text[] NOT NULL DEFAULT '{}';

COMMENT ON COLUMN species.checked IS 'Marks of agreement: the key of a source, the field, and the value that was compared. No number of the source.';
