-- Removes all keeping reports.

DROP TRIGGER reports_counted ON reports;
DROP FUNCTION count_report, add_report, take_report;
DROP TABLE report_shares, reports;
DROP FUNCTION announce_reports;
