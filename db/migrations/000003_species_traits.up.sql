-- The numbers of an entry, each with its basis. A value that is not known has no
-- row: nothing is invented to fill a column. Traits are rows rather than columns
-- so that a new trait needs no migration and old revisions stay as they were.
--
-- Numbers are double precision, which gives back exactly what was loaded. The
-- order checks also keep out NaN, which PostgreSQL sorts above every number.

CREATE TABLE species_traits (
    revision   bigint NOT NULL,
    species_id text NOT NULL,
    sex        text NOT NULL,
    trait      text NOT NULL,
    low        double precision NOT NULL,
    typical    double precision NOT NULL,
    high       double precision NOT NULL,
    unit       text NOT NULL,
    basis      text NOT NULL,
    PRIMARY KEY (revision, species_id, sex, trait),
    CONSTRAINT species_traits_species_exists FOREIGN KEY (revision, species_id) REFERENCES species (revision, id),
    CONSTRAINT species_traits_sex_known CHECK (sex IN ('any', 'male', 'female')),
    CONSTRAINT species_traits_in_order CHECK (low > '-Infinity' AND low <= typical AND typical <= high AND high < 'Infinity'),
    CONSTRAINT species_traits_grade_in_range CHECK (unit <> 'grade' OR (low >= 0 AND high <= 1)),
    CONSTRAINT species_traits_basis_stated CHECK (basis = 'memory' OR basis LIKE 'source:_%')
);

COMMENT ON TABLE species_traits IS 'One row per known trait value.';
COMMENT ON COLUMN species_traits.sex IS 'any for the species as a whole; male or female only where the sexes differ.';
COMMENT ON COLUMN species_traits.trait IS 'The trait''s key, for example aggression_own.';
COMMENT ON COLUMN species_traits.low IS 'Low and high span what a keeper meets in ordinary individuals.';
COMMENT ON COLUMN species_traits.basis IS 'memory (trade knowledge without a citation) or source:KEY.';

CREATE TABLE species_water (
    revision       bigint NOT NULL,
    species_id     text NOT NULL,
    parameter      text NOT NULL,
    tolerated_low  double precision NOT NULL,
    preferred_low  double precision NOT NULL,
    preferred_high double precision NOT NULL,
    tolerated_high double precision NOT NULL,
    unit           text NOT NULL,
    basis          text NOT NULL,
    PRIMARY KEY (revision, species_id, parameter),
    CONSTRAINT species_water_species_exists FOREIGN KEY (revision, species_id) REFERENCES species (revision, id),
    CONSTRAINT species_water_in_order CHECK (tolerated_low > '-Infinity' AND tolerated_low <= preferred_low
        AND preferred_low <= preferred_high AND preferred_high <= tolerated_high AND tolerated_high < 'Infinity'),
    CONSTRAINT species_water_basis_stated CHECK (basis = 'memory' OR basis LIKE 'source:_%')
);

COMMENT ON TABLE species_water IS 'What an entry accepts of each water parameter.';
COMMENT ON COLUMN species_water.tolerated_low IS 'Tolerated is where adults stay alive and well for years.';
COMMENT ON COLUMN species_water.preferred_low IS 'Preferred is where they are at their best.';

CREATE TABLE species_zones (
    revision   bigint NOT NULL,
    species_id text NOT NULL,
    activity   text NOT NULL,
    surface    double precision NOT NULL,
    middle     double precision NOT NULL,
    bottom     double precision NOT NULL,
    basis      text NOT NULL,
    PRIMARY KEY (revision, species_id, activity),
    CONSTRAINT species_zones_species_exists FOREIGN KEY (revision, species_id) REFERENCES species (revision, id),
    CONSTRAINT species_zones_activity_known CHECK (activity IN ('swimming', 'feeding')),
    CONSTRAINT species_zones_not_negative CHECK (surface >= 0 AND middle >= 0 AND bottom >= 0),
    CONSTRAINT species_zones_sum_to_one CHECK (abs(surface + middle + bottom - 1) <= 1e-6),
    CONSTRAINT species_zones_basis_stated CHECK (basis = 'memory' OR basis LIKE 'source:_%')
);

COMMENT ON TABLE species_zones IS 'Shares of time (swimming) and of feeding at each level of the tank.';
