-- Tanks, who lives in them, and what was measured in them. What is known of a tank and
-- of a line of residents is kept as the JSON object that the contract describes, exactly
-- as it was given: the contract checks it, and a new field needs no migration. What is
-- looked for or counted has a column.
--
-- No column is for personal data. Keys begin with the organization, so that an
-- organization's rows lie together and can be partitioned off.

CREATE TABLE tanks (
    organization_id uuid NOT NULL REFERENCES organizations,
    id              uuid NOT NULL,
    label           text,
    external_ref    text,
    description     jsonb NOT NULL,
    version         bigint NOT NULL DEFAULT 1,
    created_at      timestamptz NOT NULL DEFAULT now(),
    updated_at      timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (organization_id, id),
    CONSTRAINT tanks_external_ref_unique UNIQUE (organization_id, external_ref),
    CONSTRAINT tanks_label_length CHECK (char_length(label) BETWEEN 1 AND 120),
    CONSTRAINT tanks_external_ref_length CHECK (char_length(external_ref) BETWEEN 1 AND 120),
    CONSTRAINT tanks_description_is_object CHECK (jsonb_typeof(description) = 'object')
);

COMMENT ON TABLE tanks IS 'Tanks that an organization keeps.';
COMMENT ON COLUMN tanks.id IS 'UUID version 7: the order of ids is the order of making.';
COMMENT ON COLUMN tanks.external_ref IS 'The organization''s own number for it.';
COMMENT ON COLUMN tanks.description IS 'TankInput of the contract.';
COMMENT ON COLUMN tanks.version IS 'Goes up with every change; the entity tag.';

CREATE TABLE residents (
    organization_id uuid NOT NULL,
    tank_id         uuid NOT NULL,
    id              uuid NOT NULL,
    species_id      text NOT NULL,
    line            jsonb NOT NULL,
    stated_at       timestamptz NOT NULL DEFAULT now(),
    version         bigint NOT NULL DEFAULT 1,
    created_at      timestamptz NOT NULL DEFAULT now(),
    updated_at      timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (organization_id, tank_id, id),
    CONSTRAINT residents_tank_exists FOREIGN KEY (organization_id, tank_id) REFERENCES tanks ON DELETE CASCADE,
    CONSTRAINT residents_line_is_object CHECK (jsonb_typeof(line) = 'object')
);

CREATE INDEX residents_of_species ON residents (organization_id, species_id);

COMMENT ON TABLE residents IS 'One row for each line: so many fish of one species, alike in what is known.';
COMMENT ON COLUMN residents.species_id IS 'The id in the catalogue that the name meant when it was given. Catalogues change; this does not.';
COMMENT ON COLUMN residents.line IS 'LineInput of the contract, with the species by id.';
COMMENT ON COLUMN residents.stated_at IS 'When the age in the line was true.';

CREATE TABLE readings (
    organization_id uuid NOT NULL,
    tank_id         uuid NOT NULL,
    id              uuid NOT NULL,
    taken_at        timestamptz NOT NULL,
    temperature_c   double precision,
    ph              double precision,
    gh_dh           double precision,
    salinity_ppt    double precision,
    PRIMARY KEY (organization_id, tank_id, id),
    CONSTRAINT readings_tank_exists FOREIGN KEY (organization_id, tank_id) REFERENCES tanks ON DELETE CASCADE,
    CONSTRAINT readings_say_something CHECK (num_nonnulls(temperature_c, ph, gh_dh, salinity_ppt) > 0),
    CONSTRAINT readings_temperature_possible CHECK (temperature_c BETWEEN 0 AND 45),
    CONSTRAINT readings_ph_possible CHECK (ph BETWEEN 3 AND 11),
    CONSTRAINT readings_hardness_possible CHECK (gh_dh BETWEEN 0 AND 100),
    CONSTRAINT readings_salinity_possible CHECK (salinity_ppt BETWEEN 0 AND 42)
);

CREATE INDEX readings_newest ON readings (organization_id, tank_id, taken_at DESC, id DESC);

COMMENT ON TABLE readings IS 'What was measured in a tank, and when.';

ALTER TABLE tanks ENABLE ROW LEVEL SECURITY;
ALTER TABLE tanks FORCE ROW LEVEL SECURITY;
ALTER TABLE residents ENABLE ROW LEVEL SECURITY;
ALTER TABLE residents FORCE ROW LEVEL SECURITY;
ALTER TABLE readings ENABLE ROW LEVEL SECURITY;
ALTER TABLE readings FORCE ROW LEVEL SECURITY;

CREATE POLICY tanks_own ON tanks TO commensal_service USING (organization_id = current_organization());
CREATE POLICY residents_own ON residents TO commensal_service USING (organization_id = current_organization());
CREATE POLICY readings_own ON readings TO commensal_service USING (organization_id = current_organization());

GRANT SELECT, INSERT, UPDATE, DELETE ON tanks, residents TO commensal_service;
GRANT SELECT, INSERT, DELETE ON readings TO commensal_service;
