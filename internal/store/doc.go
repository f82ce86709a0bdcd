// Package store keeps in PostgreSQL what must not be lost. It is the only place
// with SQL.
//
// [Store] is one concrete type, and its files are named for what they keep:
//
//	catalogue*       revisions of the catalogue: loading, changing, history; rows in cataloguerows
//	organization*    organizations, their keys and roles, transactions that act for one, erasing
//	tank*            tanks with residents and readings
//	check*           recorded checks, overrides, the export
//	report*          keeping reports and what they come to
//	idempotency      answers that are given again
//	store, watch     connections, transactions, and news of changes
//	anywhere         what may be read on a replica of the database
//
// Below it, migration moves the schema, cataloguerows knows the rows of a catalogue, driver is what is
// set on the driver, replica knows when a copy may be read from, and dbtest makes databases for tests. A use case declares the
// few methods it needs as its own interface. An exported method owns its
// transaction, and helpers take it. Every write is one transaction: when a method
// returns nil the write survives a kill of either side, and when it returns an
// error nothing of it is visible.
//
// Errors are recognised by SQLSTATE and constraint name, never by text. The
// sentinels [ErrNotFound] and [ErrNoCatalogue] and the types [ConstraintError],
// cataloguerows.ContentError and migration.SchemaError are what callers can act on; anything else
// means that the database could not be reached or is broken. Errors never contain
// the password of the connection string.
package store
