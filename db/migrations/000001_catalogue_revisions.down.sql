-- Removes every catalogue revision. The built-in catalogue can be loaded again,
-- under new numbers.

DROP TABLE sources;
DROP TABLE catalogue_revisions;
