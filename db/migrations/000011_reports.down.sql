-- Removes all keeping reports.

DROP TABLE reports;
DROP FUNCTION announce_reports;
