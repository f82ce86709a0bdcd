// Package dbtest gives every test a PostgreSQL database of its own, freshly
// migrated. It is for tests only and never part of the program.
//
// A test binary that uses it has
//
//	func TestMain(m *testing.M) { dbtest.Main(m) }
//
// and each test calls [New], in parallel if it likes. The first call finds a
// server and makes one migrated template database; each call clones it, which
// takes some tens of milliseconds, and the clone is dropped at the end of the test.
// Main stops the server.
//
// The server is the first of these that there is:
//
//   - the one TEST_DATABASE_URL names; its role must be allowed to create databases
//   - installed PostgreSQL binaries, run privately with all durability off
//   - a container; COMMENSAL_TEST_IMAGE names its image, by default the official one
//
// COMMENSAL_TEST_DB=url, local or container insists on one. Where there is none,
// tests fail and say what to install: a test that does not look must not pass.
package dbtest
