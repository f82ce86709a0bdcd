-- Removes the trade words; they come back with the next load of the catalogue.

DROP TABLE group_word_candidates;
DROP TABLE group_words;
