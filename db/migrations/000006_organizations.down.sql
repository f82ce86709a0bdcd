-- Removes all organizations and all keys. The two roles stay: they belong to the
-- server, and other databases on it may use them.

DROP TABLE keys;
DROP TABLE organizations;
DROP FUNCTION current_organization;
