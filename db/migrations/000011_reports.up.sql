-- Keeping reports: what became of two species that were kept together. Each belongs to
-- the organization that filed it and is never changed but retracted. What all of them
-- come to is everybody's: the keeper may count them, and sees of each no more than that
-- takes, neither its id nor when, where and with how many fish.
--
-- The two are kept in the order they were named in. No column is for personal data.

CREATE TABLE reports (
    organization_id  uuid NOT NULL REFERENCES organizations,
    id               uuid NOT NULL,
    first_species    text COLLATE "C" NOT NULL,
    second_species   text COLLATE "C" NOT NULL,
    first_count      integer,
    second_count     integer,
    first_length_cm  double precision,
    second_length_cm double precision,
    months           numeric(5, 1) NOT NULL,
    outcome          text NOT NULL,
    tank_length_cm   double precision,
    tank_width_cm    double precision,
    tank_height_cm   double precision,
    observed_on      date,
    created_at       timestamptz NOT NULL DEFAULT now(),
    retracted_at     timestamptz,
    PRIMARY KEY (organization_id, id),
    CONSTRAINT reports_outcome_known CHECK (outcome IN ('fine', 'harassed', 'injured', 'killed')),
    CONSTRAINT reports_months_possible CHECK (months BETWEEN 0 AND 600),
    CONSTRAINT reports_counts_possible CHECK (first_count BETWEEN 1 AND 1000 AND second_count BETWEEN 1 AND 1000),
    CONSTRAINT reports_lengths_possible CHECK (first_length_cm BETWEEN 0.1 AND 500 AND second_length_cm BETWEEN 0.1 AND 500),
    CONSTRAINT reports_tank_whole CHECK (num_nonnulls(tank_length_cm, tank_width_cm, tank_height_cm) IN (0, 3)),
    CONSTRAINT reports_tank_possible CHECK (least(tank_length_cm, tank_width_cm, tank_height_cm) >= 5 AND greatest(tank_length_cm, tank_width_cm, tank_height_cm) <= 1000)
);

COMMENT ON TABLE reports IS 'What keepers of an organization saw of two species kept together.';
COMMENT ON COLUMN reports.id IS 'UUID version 7: the order of ids is the order of filing.';
COMMENT ON COLUMN reports.first_species IS 'The id in the catalogue that the name meant when it was given. Its order is that of bytes, as the program''s is.';
COMMENT ON COLUMN reports.months IS 'For how long they were kept together.';
COMMENT ON COLUMN reports.observed_on IS 'When the outcome was seen.';
COMMENT ON COLUMN reports.retracted_at IS 'From when on it does not count; null for one that counts.';

-- Whoever changes reports, by whatever statement, announces it on commit.
CREATE FUNCTION announce_reports() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    PERFORM pg_notify('commensal_reports', '');
    RETURN NULL;
END
$$;

CREATE TRIGGER reports_announced AFTER INSERT OR UPDATE OR DELETE ON reports
    FOR EACH STATEMENT EXECUTE FUNCTION announce_reports();

ALTER TABLE reports ENABLE ROW LEVEL SECURITY;
ALTER TABLE reports FORCE ROW LEVEL SECURITY;

CREATE POLICY reports_own ON reports TO commensal_service USING (organization_id = current_organization());
CREATE POLICY reports_counted ON reports FOR SELECT TO commensal_keeper USING (retracted_at IS NULL);

GRANT SELECT, INSERT, DELETE, UPDATE (retracted_at) ON reports TO commensal_service;
GRANT SELECT (organization_id, first_species, second_species, outcome, months, retracted_at) ON reports TO commensal_keeper;
