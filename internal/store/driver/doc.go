// Package driver is what the store sets on the driver of PostgreSQL: ids as the 16 bytes that they are,
// statements that end with their transaction's time, and a counter of what goes to the database.
package driver
