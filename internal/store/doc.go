// Package store keeps in PostgreSQL what must not be lost. It is the only place
// with SQL.
//
// [Store] is one concrete type with a file per aggregate; a use case declares the
// few methods it needs as its own interface. An exported method owns its
// transaction, and helpers take it. Every write is one transaction: when a method
// returns nil the write survives a kill of either side, and when it returns an
// error nothing of it is visible.
//
// Errors are recognised by SQLSTATE and constraint name, never by text. The
// sentinels [ErrNotFound] and [ErrNoCatalogue] and the types [ConstraintError],
// [ContentError] and [SchemaError] are what callers can act on; anything else
// means that the database could not be reached or is broken. Errors never contain
// the password of the connection string.
package store
