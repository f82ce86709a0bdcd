-- Forgets placements, wishes, screenings and the regions of organizations.

DROP TABLE tank_changes;
DROP TABLE tank_screenings;
DROP TABLE placement_acceptances;
DROP TABLE placement_tanks;
DROP TABLE placements;
DROP TRIGGER residents_added_to_tank ON residents;
DROP TRIGGER residents_changed_in_tank ON residents;
DROP TRIGGER residents_removed_from_tank ON residents;
DROP FUNCTION residents_changed;
ALTER TABLE tanks DROP COLUMN revision, DROP COLUMN wishes;
REVOKE UPDATE (region) ON organizations FROM commensal_service;
ALTER TABLE organizations DROP COLUMN region;
