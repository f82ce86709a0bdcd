// Package migration brings a database to a version of the schema, says which one it has, and lets a role
// in that serves and owns nothing.
package migration

// The roles that do all work for organizations; migration 6 makes them. Neither can go
// around row-level security.
const (
	ServiceRole = "commensal_service" // acts for one organization at a time
	KeeperRole  = "commensal_keeper"  // finds out whose a key is; of what is stored it sees how many reports there are
)
