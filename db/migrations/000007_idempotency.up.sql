-- The first answer to each POST that carried an Idempotency-Key, written in the
-- transaction of what the POST wrote: either both are there or neither is. A second
-- request with the key waits on the row of the first until that is committed.

CREATE TABLE idempotency_records (
    organization_id uuid NOT NULL REFERENCES organizations,
    key             text NOT NULL,
    operation       text NOT NULL,
    body_hash       bytea NOT NULL,
    status          integer,
    headers         jsonb,
    body            bytea,
    expires_at      timestamptz NOT NULL,
    PRIMARY KEY (organization_id, key),
    CONSTRAINT idempotency_key_length CHECK (char_length(key) BETWEEN 1 AND 255),
    CONSTRAINT idempotency_hash_is_sha256 CHECK (octet_length(body_hash) = 32)
);

CREATE INDEX idempotency_expiry ON idempotency_records (expires_at);

COMMENT ON TABLE idempotency_records IS 'Answers to repeat for a retried POST.';
COMMENT ON COLUMN idempotency_records.operation IS 'Method, path and query of the request.';
COMMENT ON COLUMN idempotency_records.body_hash IS 'SHA-256 of the body as it was sent.';
COMMENT ON COLUMN idempotency_records.status IS 'Null only within the transaction of the first request.';
COMMENT ON COLUMN idempotency_records.expires_at IS 'From when on the key is as good as new.';

ALTER TABLE idempotency_records ENABLE ROW LEVEL SECURITY;
ALTER TABLE idempotency_records FORCE ROW LEVEL SECURITY;

CREATE POLICY idempotency_own ON idempotency_records TO commensal_service USING (organization_id = current_organization());
-- The keeper sweeps, and sees nothing that is still in use.
CREATE POLICY idempotency_expired ON idempotency_records TO commensal_keeper USING (expires_at <= now());

GRANT SELECT, INSERT, UPDATE, DELETE ON idempotency_records TO commensal_service;
GRANT SELECT, DELETE ON idempotency_records TO commensal_keeper;
