-- Removes the entries and their names. The revisions stay, with nothing in them.

DROP TABLE species_synonyms;
DROP TABLE species_names;
DROP TABLE species;
