-- Removes all recorded checks with their overrides.

DROP TABLE check_overrides;
DROP TABLE check_records;
DROP FUNCTION refuse_change;
