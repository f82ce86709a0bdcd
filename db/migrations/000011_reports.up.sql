-- Keeping reports: what became of two species that were kept together. Each belongs to
-- the organization that filed it and is never changed but retracted. No column is for
-- personal data.
--
-- What all reports come to is everybody's. Triggers keep, for each organization and pair,
-- how many there are of each outcome. That is all that the keeper sees, which adds it up
-- for everybody, and it stays small however many reports there are.

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

CREATE TABLE report_shares (
    organization_id uuid NOT NULL REFERENCES organizations,
    first_species   text COLLATE "C" NOT NULL,
    second_species  text COLLATE "C" NOT NULL,
    fine            integer NOT NULL,
    harassed        integer NOT NULL,
    injured         integer NOT NULL,
    killed          integer NOT NULL,
    fine_months     numeric NOT NULL,
    PRIMARY KEY (organization_id, first_species, second_species),
    CONSTRAINT report_shares_pair_in_order CHECK (first_species <= second_species),
    CONSTRAINT report_shares_not_negative CHECK (least(fine, harassed, injured, killed, fine_months) >= 0)
);

COMMENT ON TABLE report_shares IS 'How many reports of an organization on a pair count. Written by triggers of reports only.';
COMMENT ON COLUMN report_shares.first_species IS 'The first of the two by id, in whatever order a report names them.';
COMMENT ON COLUMN report_shares.fine_months IS 'Months of the reports without trouble, each up to the twelve that make it weigh one.';

CREATE FUNCTION add_report(r reports) RETURNS void LANGUAGE sql
    BEGIN ATOMIC
        INSERT INTO report_shares AS s
        SELECT r.organization_id, least(r.first_species, r.second_species), greatest(r.first_species, r.second_species),
            (r.outcome = 'fine')::int, (r.outcome = 'harassed')::int, (r.outcome = 'injured')::int, (r.outcome = 'killed')::int,
            CASE r.outcome WHEN 'fine' THEN least(r.months, 12) ELSE 0 END
        ON CONFLICT (organization_id, first_species, second_species) DO UPDATE
            SET fine = s.fine + excluded.fine, harassed = s.harassed + excluded.harassed, injured = s.injured + excluded.injured,
                killed = s.killed + excluded.killed, fine_months = s.fine_months + excluded.fine_months;
    END;

CREATE FUNCTION take_report(r reports) RETURNS void LANGUAGE sql
    BEGIN ATOMIC
        UPDATE report_shares AS s
        SET fine = s.fine - (r.outcome = 'fine')::int, harassed = s.harassed - (r.outcome = 'harassed')::int,
            injured = s.injured - (r.outcome = 'injured')::int, killed = s.killed - (r.outcome = 'killed')::int,
            fine_months = s.fine_months - CASE r.outcome WHEN 'fine' THEN least(r.months, 12) ELSE 0 END
        WHERE s.organization_id = r.organization_id
            AND s.first_species = least(r.first_species, r.second_species) AND s.second_species = greatest(r.first_species, r.second_species);
    END;

CREATE FUNCTION count_report() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF TG_OP <> 'INSERT' AND OLD.retracted_at IS NULL THEN
        PERFORM take_report(OLD);
    END IF;
    IF TG_OP <> 'DELETE' AND NEW.retracted_at IS NULL THEN
        PERFORM add_report(NEW);
    END IF;
    RETURN NULL;
END
$$;

CREATE TRIGGER reports_counted AFTER INSERT OR UPDATE OR DELETE ON reports
    FOR EACH ROW EXECUTE FUNCTION count_report();

-- Whatever changes what reports come to is announced on commit.
CREATE FUNCTION announce_reports() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    PERFORM pg_notify('commensal_reports', '');
    RETURN NULL;
END
$$;

CREATE TRIGGER report_shares_announced AFTER INSERT OR UPDATE OR DELETE ON report_shares
    FOR EACH STATEMENT EXECUTE FUNCTION announce_reports();

ALTER TABLE reports ENABLE ROW LEVEL SECURITY;
ALTER TABLE reports FORCE ROW LEVEL SECURITY;
ALTER TABLE report_shares ENABLE ROW LEVEL SECURITY;
ALTER TABLE report_shares FORCE ROW LEVEL SECURITY;

CREATE POLICY reports_own ON reports TO commensal_service USING (organization_id = current_organization());
CREATE POLICY report_shares_own ON report_shares TO commensal_service USING (organization_id = current_organization());
CREATE POLICY report_shares_all ON report_shares FOR SELECT TO commensal_keeper USING (true);

GRANT SELECT, INSERT, DELETE, UPDATE (retracted_at) ON reports TO commensal_service;
GRANT SELECT, INSERT, UPDATE, DELETE ON report_shares TO commensal_service;
GRANT SELECT ON report_shares TO commensal_keeper;
