-- Forgets which POSTs were answered: a retry after this is a new request.

DROP TABLE idempotency_records;
