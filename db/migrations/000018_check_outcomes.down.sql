-- Removes what became of recorded checks; the records stay.

DROP TABLE check_outcomes;
