-- Removes all tanks with their residents and readings.

DROP TABLE readings;
DROP TABLE residents;
DROP TABLE tanks;
