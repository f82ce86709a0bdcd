// Package service is the running service: what commensal serve does from its first line of log to
// its last. [Run] claims the addresses, opens the database (a private PostgreSQL where none is
// named), follows the catalogue and the keepers' reports, answers HTTP through package api, and ends
// cleanly when its context does. [Settings] are all that can be set from outside; flags, variables and
// what is printed for people belong to the program that runs it.
//
// The commands at a prompt that work on the same database open it with [WithDatabase] or
// [WithStore], or with [StoreBeside] also beside a running service, by the same rules: a private
// database is this program's own to migrate, another one only when it is told to.
package service
