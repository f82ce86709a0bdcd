-- Recorded checks and the overrides of those on hold: what was asked, what was answered, on which
-- catalogue and model, and who let a sale pass all the same, and why.
--
-- A record is final. The service may add rows and read them, and nothing else; a trigger keeps
-- even the owner of the tables from changing one. The one deletion is that of all that an
-- organization has stored: the keeper does it, within the organization that the transaction acts for.

CREATE TABLE check_records (
    organization_id    uuid NOT NULL REFERENCES organizations,
    id                 uuid NOT NULL,
    decided_at         timestamptz NOT NULL DEFAULT now(),
    key_id             text NOT NULL,
    external_ref       text,
    tank_id            uuid,
    decision           text NOT NULL,
    summary            text NOT NULL,
    catalogue_revision bigint NOT NULL,
    model_version      text NOT NULL,
    program_version    text NOT NULL,
    input              json NOT NULL,
    answer             json NOT NULL,
    PRIMARY KEY (organization_id, id),
    CONSTRAINT check_records_decided UNIQUE (organization_id, id, decision),
    CONSTRAINT check_records_decision_known CHECK (decision IN ('proceed', 'advise', 'hold')),
    CONSTRAINT check_records_external_ref_length CHECK (char_length(external_ref) BETWEEN 1 AND 120),
    CONSTRAINT check_records_input_is_object CHECK (json_typeof(input) = 'object'),
    CONSTRAINT check_records_answer_is_object CHECK (json_typeof(answer) = 'object')
);

CREATE INDEX check_records_newest ON check_records (organization_id, decided_at DESC, id DESC);
CREATE INDEX check_records_external_ref ON check_records (organization_id, external_ref, decided_at DESC, id DESC)
    WHERE external_ref IS NOT NULL;

COMMENT ON TABLE check_records IS 'Checks as they were decided. Rows never change.';
COMMENT ON COLUMN check_records.key_id IS 'The key that asked. Not a reference: what was decided stays true whatever becomes of the key.';
COMMENT ON COLUMN check_records.external_ref IS 'The organization''s own number for it, not unique: one sale may be checked twice.';
COMMENT ON COLUMN check_records.tank_id IS 'The stored tank that was judged. Not a reference: the tank may go, the record stays.';
COMMENT ON COLUMN check_records.catalogue_revision IS 'What it was decided on. Not a reference: the record outlives every catalogue.';
COMMENT ON COLUMN check_records.input IS 'RecordedInput of the contract: the list as it was understood. json, not jsonb: kept to the letter.';
COMMENT ON COLUMN check_records.answer IS 'Check of the contract, to the letter.';

CREATE TABLE check_overrides (
    organization_id uuid NOT NULL,
    check_id        uuid NOT NULL,
    number          integer NOT NULL,
    decision        text NOT NULL DEFAULT 'hold',
    made_at         timestamptz NOT NULL DEFAULT clock_timestamp(),
    key_id          text NOT NULL,
    reason          text NOT NULL,
    staff_ref       text,
    PRIMARY KEY (organization_id, check_id, number),
    CONSTRAINT check_overrides_are_of_holds CHECK (decision = 'hold'),
    CONSTRAINT check_overrides_record_is_on_hold FOREIGN KEY (organization_id, check_id, decision)
        REFERENCES check_records (organization_id, id, decision),
    CONSTRAINT check_overrides_number_in_range CHECK (number BETWEEN 1 AND 20),
    CONSTRAINT check_overrides_reason_length CHECK (char_length(reason) BETWEEN 3 AND 500),
    CONSTRAINT check_overrides_staff_ref_length CHECK (char_length(staff_ref) BETWEEN 1 AND 64)
);

COMMENT ON TABLE check_overrides IS 'Holds that staff let pass, in the order they did. Rows never change.';
COMMENT ON COLUMN check_overrides.number IS 'From 1 without a gap. A later one adds to those before and replaces none.';
COMMENT ON COLUMN check_overrides.decision IS 'Always hold: with the foreign key it keeps other records from being overridden.';
COMMENT ON COLUMN check_overrides.made_at IS 'When it was written, not when its transaction began: times are in the order of numbers.';
COMMENT ON COLUMN check_overrides.reason IS 'In words. No personal data.';
COMMENT ON COLUMN check_overrides.staff_ref IS 'The organization''s own number or role of who decided. No name.';

CREATE FUNCTION refuse_change() RETURNS trigger
    LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'rows of % are final', TG_TABLE_NAME USING ERRCODE = 'insufficient_privilege';
END
$$;

CREATE TRIGGER check_records_final BEFORE UPDATE ON check_records
    FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER check_overrides_final BEFORE UPDATE ON check_overrides
    FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE check_records ENABLE ROW LEVEL SECURITY;
ALTER TABLE check_records FORCE ROW LEVEL SECURITY;
ALTER TABLE check_overrides ENABLE ROW LEVEL SECURITY;
ALTER TABLE check_overrides FORCE ROW LEVEL SECURITY;

CREATE POLICY check_records_own ON check_records TO commensal_service USING (organization_id = current_organization());
CREATE POLICY check_overrides_own ON check_overrides TO commensal_service USING (organization_id = current_organization());
-- The keeper erases, and only where a transaction names the organization.
CREATE POLICY check_records_erasure ON check_records TO commensal_keeper USING (organization_id = current_organization());
CREATE POLICY check_overrides_erasure ON check_overrides TO commensal_keeper USING (organization_id = current_organization());

GRANT SELECT, INSERT ON check_records, check_overrides TO commensal_service;
GRANT SELECT (organization_id), DELETE ON check_records, check_overrides TO commensal_keeper;
