-- What organizations sell is forgotten.

DROP TABLE articles;
DELETE FROM organization_usage WHERE kind = 'articles';
DELETE FROM organization_quotas WHERE kind = 'articles';
DELETE FROM quotas WHERE kind = 'articles';
