-- The rehoming desk: what adopters wish for, placements that are proposed and then accepted, tanks judged
-- anew whenever the catalogue or the model is another, and where an organization is.

-- Where an organization is, for requests that do not say.
ALTER TABLE organizations
    ADD COLUMN region text,
    ADD CONSTRAINT organizations_region_length CHECK (char_length(region) BETWEEN 2 AND 60);

COMMENT ON COLUMN organizations.region IS 'Country or state whose rules its requests are judged by unless they name another; null for none.';

GRANT UPDATE (region) ON organizations TO commensal_service;

-- A tank's revision goes up with every change of the tank and of its residents. Whoever proposed something
-- for a tank sees by it that the tank is another one by now. Readings leave it alone: a sensor would make every
-- proposal stale within the hour.
ALTER TABLE tanks
    ADD COLUMN wishes jsonb,
    ADD COLUMN revision bigint NOT NULL DEFAULT 1,
    ADD CONSTRAINT tanks_wishes_are_an_object CHECK (jsonb_typeof(wishes) = 'object');

COMMENT ON COLUMN tanks.wishes IS 'Wishes of the contract: what its keeper would take; null for anything.';
COMMENT ON COLUMN tanks.revision IS 'Goes up with every change of the tank or of its residents; version, the entity tag, with those of the tank alone.';

CREATE FUNCTION residents_changed() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    UPDATE tanks t SET revision = t.revision + 1
        FROM (SELECT DISTINCT organization_id, tank_id FROM changed) c
        WHERE t.organization_id = c.organization_id AND t.id = c.tank_id;
    RETURN NULL;
END
$$;

CREATE TRIGGER residents_added_to_tank AFTER INSERT ON residents
    REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION residents_changed();
CREATE TRIGGER residents_changed_in_tank AFTER UPDATE ON residents
    REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION residents_changed();
CREATE TRIGGER residents_removed_from_tank AFTER DELETE ON residents
    REFERENCING OLD TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION residents_changed();

-- Placements as they were proposed. What was asked and answered does not change; what becomes of it is added.
CREATE TABLE placements (
    organization_id    uuid NOT NULL REFERENCES organizations,
    id                 uuid NOT NULL,
    made_at            timestamptz NOT NULL DEFAULT now(),
    key_id             text NOT NULL,
    external_ref       text,
    summary            text NOT NULL,
    catalogue_revision bigint NOT NULL,
    model_version      text NOT NULL,
    input              json NOT NULL,
    answer             json NOT NULL,
    PRIMARY KEY (organization_id, id),
    CONSTRAINT placements_external_ref_length CHECK (char_length(external_ref) BETWEEN 1 AND 120),
    CONSTRAINT placements_input_is_object CHECK (json_typeof(input) = 'object'),
    CONSTRAINT placements_answer_is_object CHECK (json_typeof(answer) = 'object')
);

CREATE INDEX placements_newest ON placements (organization_id, made_at DESC, id DESC);

COMMENT ON TABLE placements IS 'Who goes where, as it was proposed.';
COMMENT ON COLUMN placements.key_id IS 'The key that asked. Not a reference.';
COMMENT ON COLUMN placements.input IS 'PlacementsRequest of the contract as it was understood, stored tanks filled in.';
COMMENT ON COLUMN placements.answer IS 'Placements of the contract.';

CREATE TABLE placement_tanks (
    organization_id uuid NOT NULL,
    placement_id    uuid NOT NULL,
    position        integer NOT NULL,
    tank_id         uuid NOT NULL,
    version         bigint NOT NULL,
    revision        bigint NOT NULL,
    PRIMARY KEY (organization_id, placement_id, position),
    CONSTRAINT placement_tanks_once UNIQUE (organization_id, placement_id, tank_id),
    CONSTRAINT placement_tanks_placement_exists FOREIGN KEY (organization_id, placement_id) REFERENCES placements ON DELETE CASCADE
);

COMMENT ON TABLE placement_tanks IS 'The stored tanks that a proposal gives something to.';
COMMENT ON COLUMN placement_tanks.position IS 'Among the tanks of the request, from 0.';
COMMENT ON COLUMN placement_tanks.tank_id IS 'Not a reference: the tank may go, the proposal stays.';
COMMENT ON COLUMN placement_tanks.revision IS 'Of the tank as the proposal knows it: as it was read and, from then on, as accepted parts of the same proposal left it.';

CREATE TABLE placement_acceptances (
    organization_id uuid NOT NULL,
    placement_id    uuid NOT NULL,
    arrival         integer NOT NULL,
    tank_id         uuid NOT NULL,
    key_id          text NOT NULL,
    accepted_at     timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (organization_id, placement_id, arrival),
    CONSTRAINT placement_acceptances_placement_exists FOREIGN KEY (organization_id, placement_id) REFERENCES placements ON DELETE CASCADE
);

COMMENT ON TABLE placement_acceptances IS 'What was accepted of a proposal, each part once.';
COMMENT ON COLUMN placement_acceptances.arrival IS 'Among the arrivals of the answer, from 0.';

-- Every stored tank as it was judged last, so that a new catalogue or model can be held against it.
CREATE TABLE tank_screenings (
    organization_id    uuid NOT NULL,
    tank_id            uuid NOT NULL,
    tank_revision      bigint NOT NULL,
    catalogue_revision bigint NOT NULL,
    model_version      text NOT NULL,
    region             text,
    input              jsonb NOT NULL,
    verdict            jsonb NOT NULL,
    screened_at        timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (organization_id, tank_id),
    CONSTRAINT tank_screenings_tank_exists FOREIGN KEY (organization_id, tank_id) REFERENCES tanks ON DELETE CASCADE,
    CONSTRAINT tank_screenings_input_is_object CHECK (jsonb_typeof(input) = 'object'),
    CONSTRAINT tank_screenings_verdict_is_object CHECK (jsonb_typeof(verdict) = 'object')
);

COMMENT ON TABLE tank_screenings IS 'What a tank was judged to be when it was last screened.';
COMMENT ON COLUMN tank_screenings.region IS 'Of the organization when it was screened.';
COMMENT ON COLUMN tank_screenings.input IS 'CheckRequest of the contract: the list that was judged, with the readings and ages of that moment.';
COMMENT ON COLUMN tank_screenings.verdict IS 'TankVerdict of the contract.';

CREATE TABLE tank_changes (
    organization_id    uuid NOT NULL,
    tank_id            uuid NOT NULL,
    catalogue_revision bigint NOT NULL,
    model_version      text NOT NULL,
    from_revision      bigint NOT NULL,
    before             jsonb NOT NULL,
    after              jsonb NOT NULL,
    found_at           timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (organization_id, tank_id, catalogue_revision, model_version),
    CONSTRAINT tank_changes_tank_exists FOREIGN KEY (organization_id, tank_id) REFERENCES tanks ON DELETE CASCADE,
    CONSTRAINT tank_changes_before_is_object CHECK (jsonb_typeof(before) = 'object'),
    CONSTRAINT tank_changes_after_is_object CHECK (jsonb_typeof(after) = 'object')
);

COMMENT ON TABLE tank_changes IS 'Where another catalogue or model decides otherwise about the same list. Gone as soon as the tank itself is changed.';
COMMENT ON COLUMN tank_changes.catalogue_revision IS 'From which on it is decided so.';
COMMENT ON COLUMN tank_changes.from_revision IS 'Of the catalogue on which it was decided before.';
COMMENT ON COLUMN tank_changes.before IS 'TankVerdict of the contract.';

DO $$
DECLARE
    name text;
BEGIN
    FOREACH name IN ARRAY ARRAY['placements', 'placement_tanks', 'placement_acceptances', 'tank_screenings', 'tank_changes'] LOOP
        EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', name);
        EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', name);
        EXECUTE format('CREATE POLICY %I ON %I TO commensal_service USING (organization_id = current_organization())', name || '_own', name);
    END LOOP;
END
$$;

GRANT SELECT, INSERT, DELETE, UPDATE (id) ON placements TO commensal_service; -- UPDATE for the lock alone
GRANT SELECT, INSERT, UPDATE, DELETE ON placement_tanks, tank_screenings TO commensal_service;
GRANT SELECT, INSERT, DELETE ON placement_acceptances, tank_changes TO commensal_service;

-- What is proposed counts with what is recorded.
CREATE TRIGGER placements_added AFTER INSERT ON placements
    REFERENCING NEW TABLE AS added FOR EACH STATEMENT EXECUTE FUNCTION count_added_bytes();
CREATE TRIGGER placements_removed AFTER DELETE ON placements
    REFERENCING OLD TABLE AS removed FOR EACH STATEMENT EXECUTE FUNCTION count_removed_bytes();
