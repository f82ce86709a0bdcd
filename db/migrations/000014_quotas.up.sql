-- How much each organization has stored, and how much it may. Triggers count what is added
-- and taken away, in the transaction that does it, so that the count is never wrong and
-- asking for it reads a few rows.
--
-- A count is spread over 16 parts, chosen by the connection that writes, so that writers of
-- one organization do not wait for each other. A quota is therefore held to within what
-- is being written at the same moment.

CREATE TABLE quotas (
    kind  text PRIMARY KEY,
    usual bigint NOT NULL,
    CONSTRAINT quotas_possible CHECK (usual >= 0)
);

COMMENT ON TABLE quotas IS 'What is counted, and the quota of organizations without one of their own.';

INSERT INTO quotas (kind, usual) VALUES
    ('tanks', 10000),                -- a chain of a hundred shops with a hundred tanks each
    ('residents', 200000),           -- lines: twenty in each tank
    ('readings', 2000000),           -- one a day in each tank for half a year, and kept
    ('recorded_bytes', 10737418240), -- 10 GiB: a million recorded checks of a till
    ('reports', 100000);

CREATE TABLE organization_quotas (
    organization_id uuid NOT NULL REFERENCES organizations,
    kind            text NOT NULL REFERENCES quotas,
    most            bigint NOT NULL,
    PRIMARY KEY (organization_id, kind),
    CONSTRAINT organization_quotas_possible CHECK (most >= 0)
);

COMMENT ON TABLE organization_quotas IS 'Quotas that an admin gave an organization in place of the usual ones.';

CREATE TABLE organization_usage (
    organization_id uuid NOT NULL REFERENCES organizations,
    kind            text NOT NULL REFERENCES quotas,
    part            smallint NOT NULL,
    used            bigint NOT NULL,
    PRIMARY KEY (organization_id, kind, part)
) WITH (fillfactor = 50); -- rows change often and stay on their page

COMMENT ON TABLE organization_usage IS 'What is stored: the sum over all parts. A part alone means nothing and may be negative.';

ALTER TABLE organization_quotas ENABLE ROW LEVEL SECURITY;
ALTER TABLE organization_quotas FORCE ROW LEVEL SECURITY;
ALTER TABLE organization_usage ENABLE ROW LEVEL SECURITY;
ALTER TABLE organization_usage FORCE ROW LEVEL SECURITY;

CREATE POLICY organization_quotas_own ON organization_quotas TO commensal_service USING (organization_id = current_organization());
CREATE POLICY organization_quotas_set ON organization_quotas TO commensal_keeper USING (organization_id = current_organization());
CREATE POLICY organization_usage_own ON organization_usage TO commensal_service USING (organization_id = current_organization());
CREATE POLICY organization_usage_counted ON organization_usage TO commensal_keeper USING (organization_id = current_organization());

GRANT SELECT ON quotas TO commensal_service, commensal_keeper;
GRANT SELECT ON organization_quotas TO commensal_service;
GRANT SELECT, INSERT, UPDATE, DELETE ON organization_quotas TO commensal_keeper;
GRANT SELECT, INSERT, UPDATE ON organization_usage TO commensal_service, commensal_keeper;

-- SQLSTATE 53400 is configuration_limit_exceeded; the message is the kind.
CREATE FUNCTION use_quota(whose uuid, what text, change bigint) RETURNS void
    LANGUAGE plpgsql
    AS $$
DECLARE
    total   bigint;
    allowed bigint;
BEGIN
    INSERT INTO organization_usage AS u (organization_id, kind, part, used)
        VALUES (whose, what, pg_backend_pid() % 16, change)
        ON CONFLICT (organization_id, kind, part) DO UPDATE SET used = u.used + excluded.used;
    IF change <= 0 THEN
        RETURN;
    END IF;
    SELECT sum(used) INTO total FROM organization_usage WHERE organization_id = whose AND kind = what;
    SELECT coalesce(own.most, q.usual) INTO allowed
        FROM quotas q LEFT JOIN organization_quotas own ON own.kind = q.kind AND own.organization_id = whose
        WHERE q.kind = what;
    IF total > allowed THEN
        RAISE EXCEPTION USING ERRCODE = '53400', MESSAGE = what, DETAIL = format('%s of %s', total, allowed);
    END IF;
END
$$;

CREATE FUNCTION count_added_rows() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    PERFORM use_quota(organization_id, TG_ARGV[0], count(*)) FROM added GROUP BY organization_id;
    RETURN NULL;
END
$$;

CREATE FUNCTION count_removed_rows() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    PERFORM use_quota(organization_id, TG_ARGV[0], -count(*)) FROM removed GROUP BY organization_id;
    RETURN NULL;
END
$$;

CREATE FUNCTION count_added_bytes() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    PERFORM use_quota(organization_id, 'recorded_bytes', sum(octet_length(input::text) + octet_length(answer::text)))
        FROM added GROUP BY organization_id;
    RETURN NULL;
END
$$;

CREATE FUNCTION count_removed_bytes() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    PERFORM use_quota(organization_id, 'recorded_bytes', -sum(octet_length(input::text) + octet_length(answer::text)))
        FROM removed GROUP BY organization_id;
    RETURN NULL;
END
$$;

DO $$
DECLARE
    counted text;
BEGIN
    FOREACH counted IN ARRAY ARRAY['tanks', 'residents', 'readings', 'reports'] LOOP
        EXECUTE format('CREATE TRIGGER %I AFTER INSERT ON %I REFERENCING NEW TABLE AS added FOR EACH STATEMENT EXECUTE FUNCTION count_added_rows(%L)',
            counted || '_added', counted, counted);
        EXECUTE format('CREATE TRIGGER %I AFTER DELETE ON %I REFERENCING OLD TABLE AS removed FOR EACH STATEMENT EXECUTE FUNCTION count_removed_rows(%L)',
            counted || '_removed', counted, counted);
    END LOOP;
END
$$;

CREATE TRIGGER check_records_added AFTER INSERT ON check_records
    REFERENCING NEW TABLE AS added FOR EACH STATEMENT EXECUTE FUNCTION count_added_bytes();
CREATE TRIGGER check_records_removed AFTER DELETE ON check_records
    REFERENCING OLD TABLE AS removed FOR EACH STATEMENT EXECUTE FUNCTION count_removed_bytes();

-- What is stored already. The owner of the tables is held by row-level security unless it is
-- lifted for this moment; nobody else sees these tables before the end of the migration.
ALTER TABLE tanks NO FORCE ROW LEVEL SECURITY;
ALTER TABLE residents NO FORCE ROW LEVEL SECURITY;
ALTER TABLE readings NO FORCE ROW LEVEL SECURITY;
ALTER TABLE reports NO FORCE ROW LEVEL SECURITY;
ALTER TABLE check_records NO FORCE ROW LEVEL SECURITY;
ALTER TABLE organization_usage NO FORCE ROW LEVEL SECURITY;

INSERT INTO organization_usage (organization_id, kind, part, used)
SELECT organization_id, 'tanks', 0, count(*) FROM tanks GROUP BY 1
UNION ALL SELECT organization_id, 'residents', 0, count(*) FROM residents GROUP BY 1
UNION ALL SELECT organization_id, 'readings', 0, count(*) FROM readings GROUP BY 1
UNION ALL SELECT organization_id, 'reports', 0, count(*) FROM reports GROUP BY 1
UNION ALL SELECT organization_id, 'recorded_bytes', 0, sum(octet_length(input::text) + octet_length(answer::text)) FROM check_records GROUP BY 1;

ALTER TABLE tanks FORCE ROW LEVEL SECURITY;
ALTER TABLE residents FORCE ROW LEVEL SECURITY;
ALTER TABLE readings FORCE ROW LEVEL SECURITY;
ALTER TABLE reports FORCE ROW LEVEL SECURITY;
ALTER TABLE check_records FORCE ROW LEVEL SECURITY;
ALTER TABLE organization_usage FORCE ROW LEVEL SECURITY;
