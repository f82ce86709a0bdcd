-- Organizations and their keys. Everything an organization stores carries its id, and
-- two roles without any right to go around row-level security do all the work:
--
--   commensal_service  acts for one organization, the one that the setting
--                      app.organization names for the length of a transaction;
--   commensal_keeper   knows keys and organizations, to find out who asks, and
--                      nothing that an organization stores.
--
-- Roles belong to the server, not to the database: they may be there already, and
-- another database of the same server may be making them at this moment.

DO $$
DECLARE
    name text;
    -- From PostgreSQL 16 on, to be a member is not yet to be allowed to act as one.
    may  text := CASE WHEN current_setting('server_version_num')::int >= 160000 THEN 'SET' ELSE 'MEMBER' END;
BEGIN
    FOREACH name IN ARRAY ARRAY['commensal_service', 'commensal_keeper'] LOOP
        IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = name) THEN
            BEGIN
                EXECUTE format('CREATE ROLE %I NOLOGIN NOSUPERUSER NOBYPASSRLS NOCREATEDB NOCREATEROLE', name);
            EXCEPTION WHEN duplicate_object OR unique_violation THEN
                NULL;
            END;
        END IF;
        IF NOT pg_has_role(current_user, name, may) THEN
            EXECUTE format('GRANT %I TO CURRENT_USER', name);
        END IF;
    END LOOP;
EXCEPTION WHEN insufficient_privilege THEN
    RAISE EXCEPTION 'the role % may not make or join the roles commensal_service and commensal_keeper', current_user
        USING ERRCODE = 'insufficient_privilege',
        HINT = format('As a superuser, run once: CREATE ROLE commensal_service NOLOGIN; CREATE ROLE commensal_keeper NOLOGIN; '
            'GRANT commensal_service, commensal_keeper TO %I;', current_user);
END
$$;

-- Where the schema is not open to everybody, as it is by default, the roles enter it.
DO $$
BEGIN
    IF NOT has_schema_privilege('commensal_service', current_schema(), 'USAGE')
        OR NOT has_schema_privilege('commensal_keeper', current_schema(), 'USAGE') THEN
        EXECUTE format('GRANT USAGE ON SCHEMA %I TO commensal_service, commensal_keeper', current_schema());
    END IF;
END
$$;

CREATE FUNCTION current_organization() RETURNS uuid
    LANGUAGE sql STABLE
    AS $$ SELECT nullif(current_setting('app.organization', true), '')::uuid $$;

COMMENT ON FUNCTION current_organization IS 'The organization this transaction acts for; null for none, which sees nothing.';

CREATE TABLE organizations (
    id         uuid PRIMARY KEY,
    name       text NOT NULL,
    created_at timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT organizations_name_unique UNIQUE (name),
    CONSTRAINT organizations_name_length CHECK (char_length(name) BETWEEN 1 AND 80)
);

COMMENT ON TABLE organizations IS 'Who stores things here: a shop, a forum, a rehoming group. Never a person.';

CREATE TABLE keys (
    id              text PRIMARY KEY,
    organization_id uuid NOT NULL REFERENCES organizations,
    secret_hash     bytea NOT NULL,
    label           text NOT NULL,
    scopes          text[] NOT NULL,
    created_at      timestamptz NOT NULL DEFAULT now(),
    expires_at      timestamptz,
    revoked_at      timestamptz,
    last_used_at    timestamptz,
    CONSTRAINT keys_id_shape CHECK (id ~ '^[a-z2-7]{16}$'),
    CONSTRAINT keys_hash_is_sha256 CHECK (octet_length(secret_hash) = 32),
    CONSTRAINT keys_label_length CHECK (char_length(label) <= 80),
    CONSTRAINT keys_may_do_something CHECK (cardinality(scopes) > 0)
);

CREATE INDEX keys_of_organization ON keys (organization_id, id);

COMMENT ON TABLE keys IS 'API keys. A revoked or expired one stays, so that a list says what became of it.';
COMMENT ON COLUMN keys.id IS 'The public part of the key''s text.';
COMMENT ON COLUMN keys.secret_hash IS 'SHA-256 of the whole text, which is nowhere.';
COMMENT ON COLUMN keys.expires_at IS 'From when on it is refused; null for never.';
COMMENT ON COLUMN keys.last_used_at IS 'To within a minute or so; null for never.';

ALTER TABLE organizations ENABLE ROW LEVEL SECURITY;
ALTER TABLE organizations FORCE ROW LEVEL SECURITY;
ALTER TABLE keys ENABLE ROW LEVEL SECURITY;
ALTER TABLE keys FORCE ROW LEVEL SECURITY;

CREATE POLICY organizations_own ON organizations TO commensal_service USING (id = current_organization());
CREATE POLICY organizations_all ON organizations TO commensal_keeper USING (true);
CREATE POLICY keys_own ON keys TO commensal_service USING (organization_id = current_organization());
CREATE POLICY keys_all ON keys TO commensal_keeper USING (true);

GRANT SELECT ON organizations TO commensal_service;
GRANT SELECT, INSERT ON organizations TO commensal_keeper;
GRANT SELECT, INSERT, UPDATE ON keys TO commensal_service;
GRANT SELECT, UPDATE (last_used_at) ON keys TO commensal_keeper;
