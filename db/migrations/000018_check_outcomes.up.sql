-- What became of recorded checks: sold, not sold, or brought back. It stands beside the record, which stays as it was
-- decided, and may be noted anew.

CREATE TABLE check_outcomes (
    organization_id uuid NOT NULL,
    check_id        uuid NOT NULL,
    outcome         text,
    reason          text,
    key_id          text NOT NULL,
    noted_at        timestamptz NOT NULL DEFAULT clock_timestamp(),
    version         bigint NOT NULL DEFAULT 1,
    PRIMARY KEY (organization_id, check_id),
    CONSTRAINT check_outcomes_record_exists FOREIGN KEY (organization_id, check_id) REFERENCES check_records,
    CONSTRAINT check_outcomes_outcome_known CHECK (outcome IN ('sold', 'not_sold', 'returned')),
    CONSTRAINT check_outcomes_reason_has_an_outcome CHECK (reason IS NULL OR outcome IS NOT NULL),
    CONSTRAINT check_outcomes_reason_length CHECK (char_length(reason) BETWEEN 1 AND 500)
);

CREATE INDEX check_outcomes_outcome ON check_outcomes (organization_id, outcome, check_id);

COMMENT ON TABLE check_outcomes IS 'What became of recorded checks, as it was noted last.';
COMMENT ON COLUMN check_outcomes.outcome IS 'Null where it was taken back.';
COMMENT ON COLUMN check_outcomes.reason IS 'In words. No personal data.';
COMMENT ON COLUMN check_outcomes.key_id IS 'The key that noted it. Not a reference.';
COMMENT ON COLUMN check_outcomes.version IS 'Goes up each time; the row stays when the outcome is taken back, so that no version comes twice.';

ALTER TABLE check_outcomes ENABLE ROW LEVEL SECURITY;
ALTER TABLE check_outcomes FORCE ROW LEVEL SECURITY;

CREATE POLICY check_outcomes_own ON check_outcomes TO commensal_service USING (organization_id = current_organization());

GRANT SELECT, INSERT, UPDATE, DELETE ON check_outcomes TO commensal_service;
