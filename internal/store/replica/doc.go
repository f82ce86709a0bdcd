// Package replica reads from a copy of the database that follows it (a hot standby of PostgreSQL), and knows when
// it must not.
//
// What is promised of a read there: it sees everything that was committed on the primary before it began, by
// whichever program. For that the primary is asked how far its log of changes (WAL) goes, one question for all
// reads that wait at the same time, and the replica is given a moment to get there. Where it does not, is too far
// behind, or does not answer, the caller reads on the primary; a replica that is found gone is left alone until it
// answers again, so that it costs no request a wait. The package knows no tables: what begins a transaction, and
// with it the role and the organization of row-level security, is its caller's.
package replica
