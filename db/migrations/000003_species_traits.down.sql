-- Removes the numbers. The entries stay, with every value unknown.

DROP TABLE species_zones;
DROP TABLE species_water;
DROP TABLE species_traits;
