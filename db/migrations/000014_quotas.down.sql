-- Nobody counts any more what organizations store, and nothing bounds it.

DROP TRIGGER tanks_added ON tanks;
DROP TRIGGER tanks_removed ON tanks;
DROP TRIGGER residents_added ON residents;
DROP TRIGGER residents_removed ON residents;
DROP TRIGGER readings_added ON readings;
DROP TRIGGER readings_removed ON readings;
DROP TRIGGER reports_added ON reports;
DROP TRIGGER reports_removed ON reports;
DROP TRIGGER check_records_added ON check_records;
DROP TRIGGER check_records_removed ON check_records;
DROP FUNCTION count_added_rows;
DROP FUNCTION count_removed_rows;
DROP FUNCTION count_added_bytes;
DROP FUNCTION count_removed_bytes;
DROP FUNCTION use_quota;
DROP TABLE organization_usage;
DROP TABLE organization_quotas;
DROP TABLE quotas;
